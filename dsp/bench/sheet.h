// One test's result as a whole: what was measured, of what, against which limits; and its figures in words.
//
// Stage:   bench. In: Report, Limits. Out: Sheet, short texts, whether all limits are kept.
// Units:   those of the measurement's name; a value is shown as finely as its uncertainty means.
// Shape:   one a test.
// Time:    none.
// Errors:  none.
// Threads: pure.
// Source:  none
// Checked: tests/dsp/bench/sheet_test.cpp
#pragma once

#include <string>

#include "dsp/bench/limits.h"
#include "dsp/bench/report.h"

namespace skedlark::bench {

struct Sheet {
    std::string test{};
    std::string input{};
    double sample_rate_hz = 0.0;
    double seconds = 0.0;
    Report report{};
    Limits limits{};
};

// No limit is missed; one that a bound cannot settle counts as missed.
[[nodiscard]] bool keeps_limits(const Sheet& sheet);

// Decimals at which the uncertainty has two figures.
[[nodiscard]] int decimals_of(const Figure& figure);
// "dB" for "sinad_db"; "" where the name has no unit.
[[nodiscard]] std::string unit_of(const std::string& name);
// "20.04 +- 0.15 dB", "below -52 dB"; with its sign where it is a difference.
[[nodiscard]] std::string figure_text(const Measurement& measurement);
[[nodiscard]] std::string difference_text(const std::string& name, const Figure& difference);
// "min 12*", with a star where it is the project's own; "kept", "MISSED, close", "not settled".
[[nodiscard]] std::string limit_text(const Limit& limit);
[[nodiscard]] std::string verdict_text(const Judgement& judgement);

}  // namespace skedlark::bench
