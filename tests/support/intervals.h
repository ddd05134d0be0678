// Intervals of an error rate: 95 % unless another z is asked for.
//
// Stage:   tests.
// Units:   rates 0 to 1.
// Errors:  no trials at all give the interval 0 to 1.
// Threads: none.
// Source:  Wilson, J. Amer. Stat. Assoc. 22 (1927) 209-212; Efron, Ann. Statist. 7 (1979) 1-26
//          (bootstrap), percentile interval.
// Checked: tests/support/intervals_test.cpp
#pragma once

#include <cstdint>
#include <span>

#include "tests/support/text_score.h"

namespace skedlark::support {

inline constexpr double kZ95 = 1.959963984540054;  // two-sided 95 % of a normal

struct Interval {
    double low = 0.0;
    double high = 1.0;
};

// For events that come one by one and do not depend on each other.
[[nodiscard]] Interval wilson_interval(long events, long trials, double z = kZ95);

// For character errors, which come in clumps: whole runs (one a seed) are drawn again with
// replacement, so the spread between runs is in the interval. Rate = sum of errors / sum of truth.
// The low end with no error in any run is 0; use wilson_interval there for the high end.
[[nodiscard]] Interval bootstrap_interval(std::span<const ErrorCount> runs, std::uint64_t seed,
                                          int draws = 2000);

}  // namespace skedlark::support
