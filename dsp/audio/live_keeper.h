// Keeps a capture stream alive: opens it, watches it, and takes it up again after the device was
// away. The thread here is the only one that calls the driver.
//
// Stage:   audio, inside of live_source.h.
// Units:   as live_source.h.
// Shape:   run() until `stop`; the driver is asked for the device twice a second while it is away.
// Time:    a stream that is inactive, or silent for kStallS, counts as away.
// Errors:  the first opening's stand in `opened`; later ones only keep the device away.
// Threads: run() in one thread of its own, the shared state from the reader as well. The thread may
//          be left behind hanging in the driver; it owns all that it touches.
// Source:  none.
// Checked: tests/dsp/audio/live_source_test.cpp, live_keeper_test.cpp
#pragma once

#include <atomic>
#include <cstdint>
#include <future>
#include <memory>
#include <optional>

#include "dsp/audio/capture_driver.h"
#include "dsp/audio/live_source.h"

namespace skedlark::audio {

struct OpenedStream {
    DeviceInfo device;
    CaptureFormat format;
};

struct KeeperState {
    LiveConfig config;
    std::promise<Result<OpenedStream>> opened;
    std::unique_ptr<CaptureBuffer> buffer;  // made before `opened` is set, then left alone
    std::atomic<bool> stop{false};
    std::atomic<bool> away{false};
    std::atomic<std::int64_t> busy_since_ns{0};  // 0: not inside the driver
    std::promise<void> finished;
};

class LiveKeeper {
 public:
    static constexpr double kStallS = 1.0;
    static constexpr int kLookMs = 20;
    static constexpr int kRetryMs = 500;

    LiveKeeper(std::shared_ptr<KeeperState> state, std::unique_ptr<CaptureDriver> driver)
        : state_(std::move(state)), driver_(std::move(driver)) {}
    void run();

 private:
    [[nodiscard]] Status open_first();
    [[nodiscard]] Status open_with(const DeviceInfo& device, const CaptureFormat& format);
    [[nodiscard]] bool open_again();
    [[nodiscard]] bool is_gone();
    void leave();
    void pause(int ms) const;

    std::shared_ptr<KeeperState> state_;
    std::unique_ptr<CaptureDriver> driver_;
    OpenedStream stream_;
    std::int64_t opened_ns_ = 0;
};

}  // namespace skedlark::audio
