// PortAudio, which is one for the whole process and lets one call in at a time.
//
// Stage:   audio, inside.
// Shape:   begin() and end() in pairs; the library is loaded while any pair is open, and its list of
//          devices is as it was when the first was opened.
// Time:    a call waits kPatience at most for another one to come back.
// Errors:  begin() and lock() return device_lost where a call never came back, unreadable where the
//          sound system cannot be used.
// Threads: any. Calls may hang for ever: make them on a thread that may be left behind.
// Source:  PortAudio's documentation: its functions are not safe to call from two threads at once.
// Checked: tests/dsp/audio/portaudio_session_test.cpp
#pragma once

#include <chrono>
#include <mutex>
#include <vector>

#include "dsp/audio/devices.h"
#include "dsp/core/result.h"

namespace skedlark::audio {

class PortAudioSession {
 public:
    static constexpr auto kPatience = std::chrono::seconds(10);
    using Lock = std::unique_lock<std::timed_mutex>;

    PortAudioSession() = default;
    PortAudioSession(const PortAudioSession&) = delete;
    PortAudioSession& operator=(const PortAudioSession&) = delete;
    ~PortAudioSession() { end(); }

    // Loads the library where nobody has; again after begin(): nothing.
    [[nodiscard]] Status begin();
    void end();
    [[nodiscard]] bool is_open() const { return open_; }
    // Held around every call of the library.
    [[nodiscard]] static Result<Lock> lock();

 private:
    bool open_ = false;
};

// What `look` finds in a session of its own, on a thread that is left behind where the sound system
// never answers: device_lost then.
[[nodiscard]] Result<std::vector<DeviceInfo>> look_for_devices(std::vector<DeviceInfo> (*look)());

}  // namespace skedlark::audio
