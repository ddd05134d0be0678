// A sound card as a Source. A device that goes away is waited for and taken up again by name.
//
// Stage:   audio. In: a sound input. Out: Source blocks.
// Units:   audio 1.0 = full scale.
// Shape:   read() gives what has come, usually 20 ms, and waits 0.2 s at most.
// Time:    frames that never came (overflow, slow reader, device away, machine asleep) are lost
//          frames of true length by the steady clock, told as the time passes.
// Errors:  open_live() returns not_found with the devices that exist, unreadable, device_lost.
//          read() returns device_lost where the device stayed away longer than lost_after_s, or the
//          sound system no longer answers.
// Threads: as Source. Every call that may hang runs on the keeper's thread, which is left behind if
//          it does: neither read() nor the destructor waits for it for long.
// Source:  PortAudio
// Checked: tests/dsp/audio/live_source_test.cpp (own driver), portaudio_driver_test.cpp (virtual
//          sound card)
#pragma once

#include <limits>
#include <memory>
#include <string>

#include "dsp/audio/capture_driver.h"
#include "dsp/audio/source.h"

namespace skedlark::audio {

struct LiveConfig {
    std::string device{};   // as find_device(); empty: the default input
    int channel = 1;        // counted from 1; ignored where mix is set
    bool mix = false;       // the mean of all channels
    double rate_hz = 0.0;   // 8000 to 192000; 0: the device's own
    double buffer_s = 4.0;  // 0.2 to 60; how far the reader may be behind
    double lost_after_s = std::numeric_limits<double>::infinity();  // away for longer: given up
    double hang_limit_s = 30.0;  // 0.1 up; a call into the sound system this long is given up
};

class LiveSource : public Source {
 public:
    // The device is away and waited for.
    [[nodiscard]] virtual bool is_away() const noexcept = 0;
    [[nodiscard]] virtual const DeviceInfo& device() const noexcept = 0;
};

[[nodiscard]] Result<std::unique_ptr<LiveSource>> open_live(const LiveConfig& config);

// With another sound system.
[[nodiscard]] Result<std::unique_ptr<LiveSource>> open_live_with(
    std::unique_ptr<CaptureDriver> driver, const LiveConfig& config);

}  // namespace skedlark::audio
