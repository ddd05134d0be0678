// Events as JSON Lines: one object a line, as docs/file-formats.md lists them field by field.
//
// Stage:   log. In: Event. Out: one line of JSON with its line feed.
// Units:   in the names; seconds from the input's start, hertz, dB, milliseconds for lengths.
//          Rounded to what can be meant: 0.1 ms, 0.01 Hz, 0.01 dB, 0.0001 of a chance.
// Errors:  none; a value that was not measured is null.
// Threads: none.
// Source:  docs/file-formats.md
// Checked: tests/dsp/log/event_json_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/core/events.h"
#include "dsp/core/utc.h"

namespace skedlark::log {

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
// The last line of find: what is known at the end about every tone found.
[[nodiscard]] std::string json_found_line(double seconds, const std::vector<ToneEvent>& tones);

}  // namespace skedlark::log
