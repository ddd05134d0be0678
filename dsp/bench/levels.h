// What the generator was set to and when: the levels of a series.
//
// Stage:   bench. In: CSV. Out: LevelSteps.
// Units:   dBm in 50 ohm, seconds from the start of the recording, MHz.
// Shape:   a heading names the columns: seconds or step; then dbm, microvolt (across 50 ohm) or
//          microvolt_emf; then mhz where several points of a band are measured. A level of "off" is
//          noise alone, "end" ends the last step. A step holds until the next line.
// Time:    times must rise; levels of one point must rise, the off step stands anywhere.
// Errors:  damaged or invalid_value naming file, line, and what is allowed.
// Threads: pure.
// Source:  1 microvolt across 50 ohm is -106.99 dBm, as electromotive force -113.01 dBm (definition).
// Checked: tests/dsp/bench/levels_test.cpp
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::bench {

struct LevelStep {
    std::optional<double> from_s{};  // none: steps are counted, not timed
    std::optional<double> to_s{};    // none: to the end of the recording
    std::optional<double> dbm{};     // none: generator off
    std::optional<double> mhz{};
    int line = 0;
};

[[nodiscard]] Result<std::vector<LevelStep>> parse_levels(std::string_view text,
                                                          const std::string& file);
[[nodiscard]] Result<std::vector<LevelStep>> read_levels(const std::string& path);

[[nodiscard]] double dbm_from_microvolt(double microvolt);  // across 50 ohm
[[nodiscard]] double microvolt_from_dbm(double dbm);

}  // namespace skedlark::bench
