// A stretch of the kept audio, copied again with other settings.
//
// Stage:   gui/copy, no Qt. In: audio, its place, settings. Out: its text, as one tone.
// Units:   work-rate frames from the input's start.
// Shape:   one stretch at a time; start() ends the one before.
// Time:    some hundredth of the stretch's length; nobody waits, so characters may wait kFileLagS.
// Errors:  settings that a Watch refuses stand in failure.
// Threads: works on a thread of its own; all calls from the window's.
// Source:  none
// Checked: tests/desk/copy/copy_again_test.cpp
#pragma once

#include <atomic>
#include <memory>
#include <string>
#include <thread>
#include <vector>

#include "dsp/watch/watch.h"
#include "gui/copy/copy_text.h"

namespace skedlark::gui {

struct ReadAgain {
    std::vector<Copied> characters{};
    double pitch_hz = 0.0;
    double speed_wpm = 0.0;
    std::string failure{};
};

// At once, on the caller's thread. `stop` may end it early.
[[nodiscard]] ReadAgain copy_again(const std::vector<float>& audio, FrameIndex from,
                                   watch::WatchConfig config, const std::atomic<bool>& stop);

class CopyAgain {
 public:
    CopyAgain() = default;
    CopyAgain(const CopyAgain&) = delete;
    CopyAgain& operator=(const CopyAgain&) = delete;
    ~CopyAgain() { cancel(); }

    void start(std::vector<float> audio, FrameIndex from, const watch::WatchConfig& config);
    void cancel();
    [[nodiscard]] bool working() const { return thread_.joinable() && !done_; }
    // Once, when it is done.
    [[nodiscard]] std::optional<ReadAgain> result();

 private:
    std::thread thread_;
    std::atomic<bool> stop_{false};
    std::atomic<bool> done_{false};
    ReadAgain read_;
};

}  // namespace skedlark::gui
