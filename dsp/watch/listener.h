// One tone being copied: its follower and its text search, started from before the tone was found.
//
// Stage:   watch. In: work-rate audio. Out: CharEvent, CallEvent, PitchMovedEvent of one tone.
// Units:   hertz, seconds, work-rate frames.
// Shape:   any number of samples a call; the same events for any split.
// Time:    start() goes back through the history to learn where the tone was then (it may have
//          drifted), then copies forward up to the present. Where text is not wanted as it is
//          heard, baseband is held back by kHoldBackS, so that a jump of the pitch is found before
//          its frames are read.
// Errors:  start() passes on invalid_value; the rest cannot fail.
// Threads: one thread per instance.
// Source:  none
// Checked: tests/dsp/watch/listener_test.cpp
#pragma once

#include <deque>
#include <optional>
#include <string>
#include <vector>

#include "dsp/copy/call_search.h"
#include "dsp/copy/copier.h"
#include "dsp/tone/follower.h"
#include "dsp/tone/spread_test.h"
#include "dsp/watch/audio_history.h"

namespace skedlark::watch {

// A jump is told about a second after it happened, longer where the hand was pausing.
inline constexpr double kHoldBackS = 2.5;

struct ListenerConfig {
    int tone = 1;
    double pitch_hz = 700.0;      // now
    double pitch_error_hz = 2.0;  // standard deviation of that
    double speed_wpm = 0.0;       // 0: unknown
    copy::TextKind text = copy::TextKind::none;
    std::vector<std::string> calls{};  // expected; none: not looked for
    double lag_s = 2.0;                // as in CopierConfig
    bool provisional = false;
    FrameIndex copy_from = 0;  // first work-rate frame that may become text
};

class Listener {
 public:
    [[nodiscard]] static Result<Listener> start(const ListenerConfig& config,
                                                const AudioHistory& history,
                                                std::vector<Event>& out);

    void process(std::span<const float> audio, bool lost, std::vector<Event>& out);
    void finish(std::vector<Event>& out);

    [[nodiscard]] ToneSummary summary() const;
    [[nodiscard]] int tone() const { return config_.tone; }
    [[nodiscard]] double start_hz() const { return config_.pitch_hz; }
    [[nodiscard]] double pitch_hz() const { return follower_.pitch_hz(); }
    [[nodiscard]] double snr_2500hz_db() const { return follower_.snr_2500hz_db(); }
    [[nodiscard]] double silent_s() const;  // since the tone was last there
    // The text so far is long and sure enough to be no accident.
    [[nodiscard]] bool makes_sense() const;

 private:
    Listener(const ListenerConfig& config, tone::Follower follower, tone::SpreadTest spread,
             copy::Copier copier, std::optional<copy::CallSearch> calls);
    void look_for_calls(std::vector<Event>& out);
    void leave_out_speech();
    void raise_to_keying_floor();
    void hand_on(std::size_t keep_back, std::vector<Event>& out);

    ListenerConfig config_;
    tone::Follower follower_;
    tone::SpreadTest spread_;
    copy::Copier copier_;
    std::optional<copy::CallSearch> calls_;
    std::vector<copy::CallFound> found_;
    std::vector<tone::BasebandFrame> fresh_;
    std::deque<tone::BasebandFrame> held_;
    std::vector<tone::BasebandFrame> ready_;
    FrameIndex heard_at_;
};

}  // namespace skedlark::watch
