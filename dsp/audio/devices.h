// Sound inputs: which there are, and which one is meant.
//
// Stage:   audio. Out: the list the operator chooses from.
// Units:   hertz.
// Shape:   numbers count from 1 in the order of the list.
// Time:    none.
// Errors:  find_device() returns not_found with the list of what exists, invalid_value where a part
//          of a name fits several. list_devices() returns device_lost where the sound system hangs.
// Threads: list_devices() from any thread, but not while a live source is open (invalid_value).
// Source:  PortAudio
// Checked: tests/dsp/audio/devices_test.cpp, portaudio_driver_test.cpp
#pragma once

#include <span>
#include <string>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::audio {

struct DeviceInfo {
    int index = 0;  // of the driver
    std::string name;
    std::string host_api;
    int channels = 0;
    double default_rate_hz = 0.0;
    bool is_default = false;
};

// Inputs only.
[[nodiscard]] Result<std::vector<DeviceInfo>> list_devices();

// wanted: empty for the default; a full name; a number in the list; or a part of a name, without
// regard to capitals, that fits one device only.
[[nodiscard]] Result<DeviceInfo> find_device(std::span<const DeviceInfo> devices,
                                             const std::string& wanted);

}  // namespace skedlark::audio
