#include "dsp/audio/devices.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

namespace skedlark::audio {
namespace {

std::string lower(std::string text) {
    std::transform(text.begin(), text.end(), text.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    return text;
}

std::string listed(std::span<const DeviceInfo> devices) {
    if (devices.empty()) return "there is no sound input at all";
    std::string text = "there are:";
    for (std::size_t i = 0; i < devices.size(); ++i) {
        text += fmt::format("\n  {} {} ({})", i + 1, devices[i].name, devices[i].host_api);
    }
    return text;
}

}  // namespace

Result<DeviceInfo> find_device(std::span<const DeviceInfo> devices, const std::string& wanted) {
    if (wanted.empty()) {
        const auto found = std::find_if(devices.begin(), devices.end(),
                                        [](const DeviceInfo& device) { return device.is_default; });
        if (found != devices.end()) return *found;
        if (!devices.empty()) return devices.front();
        return Error{ErrorCode::not_found, "no default sound input: " + listed(devices)};
    }
    for (const DeviceInfo& device : devices) {
        if (device.name == wanted) return device;
    }
    // A number is one from the list, not a part of some name like "hw:1,0".
    std::size_t number = 0;
    const char* end = wanted.data() + wanted.size();
    const auto [stop, error] = std::from_chars(wanted.data(), end, number);
    if (error == std::errc() && stop == end) {
        if (number >= 1 && number <= devices.size()) return devices[number - 1];
        return Error{ErrorCode::not_found,
                     fmt::format("no sound input number {}: {}", wanted, listed(devices))};
    }
    std::vector<DeviceInfo> fitting;
    for (const DeviceInfo& device : devices) {
        if (lower(device.name).find(lower(wanted)) != std::string::npos) fitting.push_back(device);
    }
    if (fitting.size() == 1) return fitting.front();
    if (fitting.empty()) {
        return Error{ErrorCode::not_found,
                     fmt::format("no sound input \"{}\": {}", wanted, listed(devices))};
    }
    return Error{ErrorCode::invalid_value,
                 fmt::format("sound input \"{}\" fits several; {}", wanted, listed(fitting))};
}

}  // namespace skedlark::audio
