// Lines of devices as JSON, beside those of events (dsp/log/event_json.h).
//
// Stage:   cli. In: what devices --check found. Out: one line of JSON with its line feed.
// Units:   in the names; seconds from the input's start, hertz, dB, milliseconds for lengths.
//          Rounded to what can be meant: 0.1 ms, 0.01 Hz, 0.01 dB, 0.0001 of a chance.
// Errors:  none; a value that was not measured is null.
// Threads: none.
// Checked: tests/cli/json_lines_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/log/event_json.h"

namespace skedlark::cli {

using log::InputLine;
using log::json_found_line;
using log::json_line;

// A line of devices.
struct DeviceLine {
    int number = 0;
    std::string name{};
    std::string host_api{};
    int channels = 0;
    double default_rate_hz = 0.0;
    bool is_default = false;
};
[[nodiscard]] std::string json_line(const DeviceLine& device);

// The line of devices --check.
struct CheckLine {
    std::string name{};
    double seconds = 0.0;
    std::string level{};  // no_signal, too_low, good, clipping
    double peak_dbfs = 0.0;
    double rms_dbfs = 0.0;
    double dc_offset = 0.0;
    double clipped_share = 0.0;
    bool hum_found = false;
    bool hum_matters = false;
    double mains_hz = 0.0;
    double hum_dbfs = 0.0;
    double hum_to_rest_db = 0.0;
    std::vector<std::string> advice{};
};
[[nodiscard]] std::string json_line(const CheckLine& check);

}  // namespace skedlark::cli
