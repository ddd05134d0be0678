// Events as JSON Lines: one object a line, as docs/file-formats.md lists them field by field.
//
// Stage:   cli. In: Event. Out: one line of JSON with its line feed.
// Units:   in the names; seconds from the input's start, hertz, dB, milliseconds for lengths.
//          Rounded to what can be meant: 0.1 ms, 0.01 Hz, 0.01 dB, 0.0001 of a chance.
// Errors:  none; a value that was not measured is null.
// Threads: none.
// Checked: tests/cli/json_lines_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/core/events.h"
#include "dsp/core/utc.h"

namespace skedlark::cli {

// What the first line of every input says.
struct InputLine {
    std::string name{};
    double sample_rate_hz = 0.0;
    std::optional<double> seconds{};  // empty: not known beforehand
    std::optional<UtcTime> utc{};     // of frame 0; live input only
};

[[nodiscard]] std::string json_line(const InputLine& input);
// With the time of frame 0 known, every event also carries "utc".
[[nodiscard]] std::string json_line(const Event& event, std::optional<UtcTime> start = {});
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

// The last line of find: what is known at the end about every tone found.
[[nodiscard]] std::string json_found_line(double seconds, const std::vector<ToneEvent>& tones);

}  // namespace skedlark::cli
