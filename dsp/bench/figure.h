// A measured figure with its uncertainty: what every measurement on the bench gives.
//
// Stage:   bench. In: none. Out: Figure.
// Units:   those of the measurement; the uncertainty is half the 95 % interval in the same unit.
// Shape:   one number.
// Time:    none.
// Errors:  what could not be measured is no Figure but a Result with a sentence that says why.
// Threads: plain data.
// Source:  expanded uncertainty, coverage factor for 95 % (JCGM 100:2008, from memory).
// Checked: tests/dsp/bench/figure_test.cpp
#pragma once

#include <cmath>

namespace skedlark::bench {

struct Figure {
    double value = 0.0;
    double uncertainty_95 = 0.0;  // above or equal to 0

    [[nodiscard]] double low() const { return value - uncertainty_95; }
    [[nodiscard]] double high() const { return value + uncertainty_95; }
};

// Half the 95 % interval of a value with this standard deviation, the error taken as normal.
[[nodiscard]] constexpr double expanded_95(double standard_deviation) {
    constexpr double kCoverage95 = 1.959963984540054;
    return kCoverage95 * standard_deviation;
}

// Two figures measured apart from each other, as before and after a repair: by how much they differ,
// and whether that is more than their uncertainties explain.
[[nodiscard]] inline Figure difference(const Figure& after, const Figure& before) {
    return {after.value - before.value, std::hypot(after.uncertainty_95, before.uncertainty_95)};
}
[[nodiscard]] inline bool is_changed(const Figure& change) {
    return std::abs(change.value) > change.uncertainty_95;
}

}  // namespace skedlark::bench
