// A sending as the hub hears it: its audio kept, figures so far while it goes on.
//
// Stage:   gui/fist, no Qt. In: blocks of the hub, start and stop. Out: LiveFigures some twice a
//          second; the attempt when it is over.
// Units:   seconds from the attempt's start.
// Shape:   start() takes what the hub hands on from then on; stop(), the end of the input, or
//          kLongestAttemptS end it.
// Time:    take() only copies; measuring is done on a thread of its own, kFiguresEveryS apart at
//          least, so that nothing waits for it.
// Errors:  none: no tone yet is a state.
// Threads: begin(), take(), end() on the hub's; the rest from the window's.
// Source:  none
// Checked: tests/desk/fist/fist_user_test.cpp
#pragma once

#include <condition_variable>
#include <mutex>
#include <optional>
#include <thread>
#include <vector>

#include "dsp/fist/live_sending.h"
#include "gui/fist/attempt.h"
#include "gui/listen/audio_user.h"

namespace skedlark::gui {

inline constexpr double kFiguresEveryS = 0.4;

struct FistNews {
    bool measuring = false;
    bool hears = false;  // an input is running
    double heard_s = 0.0;
    std::optional<fist::LiveFigures> figures{};  // where there are new ones
    std::optional<Attempt> over{};               // once: its audio, not graded
};

class FistUser final : public AudioUser {
 public:
    FistUser();
    ~FistUser() override;

    void begin(const HeardInput& input) override;
    void take(const watch::Block& block, FrameIndex first_frame) override;
    void end() override;

    // pitch_hz: which tone, where there are several.
    void start(std::optional<double> pitch_hz);
    void stop();
    void set_pitch(std::optional<double> pitch_hz);
    [[nodiscard]] FistNews news();

 private:
    struct Piece {
        std::vector<float> audio;
        bool lost = false;
    };
    void finish();  // under mutex_
    void measure(const std::stop_token& stopped);
    bool measure_once(std::optional<fist::LiveSending>& live, std::size_t& taken, int& of);

    std::mutex mutex_;  // of all below but thread_
    std::condition_variable_any wake_;
    bool hears_ = false;
    bool measuring_ = false;
    HeardInput input_{};
    std::optional<double> pitch_hz_{};
    int number_ = 0;  // of the measuring; another one begins anew
    std::vector<Piece> pieces_;
    FrameIndex frames_ = 0;
    std::optional<UtcTime> started_{};
    std::optional<fist::LiveFigures> figures_;
    std::optional<Attempt> over_;
    std::jthread thread_;
};

}  // namespace skedlark::gui
