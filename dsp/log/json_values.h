// Numbers as JSON says them, rounded to what can be meant.
//
// Stage:   log. In: values. Out: nlohmann's ordered JSON, and its lines.
// Units:   as the callers name them; 0.1 ms, 0.01 Hz, 0.01 dB, 0.0001 of a chance.
// Errors:  none; what is not finite is null, bytes that are not UTF-8 are replaced.
// Threads: none.
// Source:  RFC 8259
// Checked: tests/dsp/log/event_json_test.cpp, tests/cli/json_lines_test.cpp
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "dsp/core/units.h"

namespace skedlark::log::json {

using Json = nlohmann::ordered_json;

[[nodiscard]] inline Json number(double value, int decimals) {
    if (!std::isfinite(value)) {
        return nullptr;
    }
    const double scale = std::pow(10.0, decimals);
    const double rounded = std::round(value * scale) / scale;
    return rounded == 0.0 ? 0.0 : rounded;  // no "-0.0"
}

// Odds span many decades: three figures, not a fixed number of decimals.
[[nodiscard]] inline Json odds(double value) {
    if (!std::isfinite(value)) {
        return nullptr;
    }
    if (value <= 0.0) {
        return 0.0;
    }
    const double scale = std::pow(10.0, 2.0 - std::floor(std::log10(value)));
    return std::isfinite(scale) ? std::round(value * scale) / scale : value;
}

[[nodiscard]] inline Json seconds(FrameIndex frame) {
    return number(seconds_from_frames(frame), 4);
}
[[nodiscard]] inline Json hertz(double value) { return number(value, 2); }
[[nodiscard]] inline Json decibel(double value) { return number(value, 2); }
[[nodiscard]] inline Json chance(double value) { return number(value, 4); }
[[nodiscard]] inline Json milliseconds(double value_s) { return number(1000.0 * value_s, 2); }

[[nodiscard]] inline std::string line_of(const Json& json) {
    // Names of files and devices are bytes; what is not UTF-8 is replaced, not thrown at.
    return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace skedlark::log::json
