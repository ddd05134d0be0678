// What the person at the bench noted down: generator steps, check points of the dial, stretches, marks.
//
// Stage:   bench. In: CSV or short texts. Out: GeneratorStep, CheckPoint, Stretch.
// Units:   seconds from the recording's start, dB, kilohertz, megahertz, divisions.
// Shape:   steps: "from_s,to_s,db,side" with side above or below, and a fifth column khz where steps of one frequency
//          are to be known by it. Check points: "mhz,div", and from below or above in a third column. A
//          first line of words, blank lines and lines that begin with # count for nothing.
// Time:    none.
// Errors:  damaged (a line that is none of these), naming file and line.
// Threads: pure.
// Source:  none.
// Checked: tests/dsp/bench/step_file_test.cpp
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "dsp/bench/dial_check.h"
#include "dsp/bench/drift_reading.h"
#include "dsp/bench/response_points.h"

namespace skedlark::bench {

[[nodiscard]] Result<std::vector<GeneratorStep>> parse_generator_steps(std::string_view csv,
                                                                       const std::string& file);
[[nodiscard]] Result<std::vector<CheckPoint>> parse_check_points(std::string_view csv,
                                                                 const std::string& file);
// "20-31" or "20.5-31"; field stands in errors.
[[nodiscard]] Result<Stretch> parse_stretch(const std::string& field, std::string_view text);
// "600=low", with low, normal or high.
[[nodiscard]] Result<SupplyMark> parse_supply(const std::string& field, std::string_view text);

}  // namespace skedlark::bench
