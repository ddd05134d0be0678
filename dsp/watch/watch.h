// The one pipeline: audio in, events out. Files, live audio, the command line, the desk and tests
// use it.
//
// Stage:   watch. In: work-rate audio, heard or lost. Out: every Event there is; a SummaryEvent
// ends it.
//
//          audio -> input notes -> history (a minute) ------------------.
//                        |                                              | from before it was found
//                        '-> tone::Finder -> choice of tones -> listener: tone::Follower ->
//                        copy::Copier
//
// Units:   audio 1.0 = full scale; hertz, seconds; events in work-rate frames from the input's
// start. Shape:   any number of samples a call; the same events for any split. Time:    a tone is
// found some seconds after it begins and then copied from its beginning, as far as
//          lookback_s reaches. A tone that falls silent keeps its pitch, speed and level.
// Errors:  create() returns invalid_value naming field, value and range; the rest cannot fail.
// Threads: one thread per instance. process() takes memory when a tone is taken up.
// Source:  rules of choice in tone_choice.h
// Checked: tests/dsp/watch/watch_test.cpp
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/copy/text_knowledge.h"
#include "dsp/core/events.h"
#include "dsp/core/result.h"

namespace skedlark::watch {

inline constexpr double kMinPitchHz = 200.0;
inline constexpr double kMaxPitchHz = 3000.0;
inline constexpr double kMinSpanHz = 10.0;
inline constexpr double kMaxSpanHz = 2800.0;
inline constexpr int kMaxTones = 8;
inline constexpr double kMinFalseAlarmsPerHour = 0.001;
inline constexpr double kMaxFalseAlarmsPerHour = 100.0;
inline constexpr double kMaxLookbackS = 600.0;
inline constexpr double kLiveLagS = 2.0;
inline constexpr double kFileLagS = 4.0;  // where nobody waits

struct WatchConfig {
    std::optional<double> pitch_hz;  // where to listen, 200 to 3000; empty: 200 to 3000 Hz
    double span_hz = 150.0;          // to each side of pitch_hz, 10 to 2800
    int tones = 1;                   // copied at once, 0 to 8; 0: tones are only found
    double speed_wpm = 0.0;          // 0: not known; else 4 to 60
    copy::TextKind text = copy::TextKind::none;  // what is known of the text
    std::vector<std::string> calls{};            // expected, as CallSearchConfig; at most 8
    // How long a character may wait for what comes after it before it is final, 0.5 to 10; never
    // less than 30 dots. Later text helps to read a weak or fading one.
    double lag_s = kLiveLagS;
    bool provisional = false;            // also give characters as heard (final = false)
    double false_alarms_per_hour = 1.0;  // of the finder, 0.001 to 100
    double lookback_s = 60.0;            // how far back a tone is copied from, 1 to 600
};

[[nodiscard]] Status check(const WatchConfig& config);

// A run of audio that is all heard or all lost.
struct Block {
    std::span<const float> audio;  // zeros where lost
    bool lost = false;
    // Why, on the first block of a lost stretch; on a block that is heard: some unknown number of
    // frames was lost before it.
    std::string_view lost_reason{};
};

class Watch {
 public:
    [[nodiscard]] static Result<Watch> create(const WatchConfig& config);
    Watch(Watch&&) noexcept;
    Watch& operator=(Watch&&) noexcept;
    ~Watch();

    // Appends what became known to out.
    void process(const Block& block, std::vector<Event>& out);
    // End of input: what is open becomes final, then the summary.
    void finish(std::vector<Event>& out);
    // What is known now of the tones being copied, the one that was taken up first in front; their
    // text is left out.
    [[nodiscard]] std::vector<ToneSummary> followed() const;

 private:
    struct State;
    explicit Watch(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

}  // namespace skedlark::watch
