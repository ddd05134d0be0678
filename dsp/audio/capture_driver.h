// What a live source needs of a sound system. PortAudio is the one used; tests bring their own,
// that loses frames, goes away or hangs on command.
//
// Stage:   audio, inside.
// Units:   hertz, frames.
// Shape:   init, list, open, then close, quit.
// Time:    none.
// Errors:  as values, the message names the device.
// Threads: every call from the keeper's thread only, and any of them may hang for ever.
// Source:  PortAudio.
// Checked: tests/dsp/audio/live_source_test.cpp
#pragma once

#include <memory>
#include <vector>

#include "dsp/audio/capture_buffer.h"
#include "dsp/audio/devices.h"
#include "dsp/core/result.h"

namespace skedlark::audio {

struct CaptureFormat {
    double rate_hz = 0.0;
    int channels = 1;
};

class CaptureDriver {
 public:
    virtual ~CaptureDriver() = default;
    [[nodiscard]] virtual Status init() = 0;
    [[nodiscard]] virtual std::vector<DeviceInfo> devices() = 0;
    // Opens and starts; blocks go to `buffer` from the driver's own thread until close().
    [[nodiscard]] virtual Status open(const DeviceInfo& device, const CaptureFormat& format,
                                      CaptureBuffer& buffer) = 0;
    [[nodiscard]] virtual bool is_active() = 0;
    virtual void close() = 0;
    virtual void quit() = 0;
};

[[nodiscard]] std::unique_ptr<CaptureDriver> make_portaudio_driver();

}  // namespace skedlark::audio
