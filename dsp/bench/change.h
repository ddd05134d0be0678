// Two sheets of the same test, before and after a repair: which figures have changed.
//
// Stage:   bench. In: measurements of both. Out: Change, one a figure.
// Units:   those of the measurement's name.
// Shape:   in the order of the first sheet, then what only the second has; matched by name and at
//          (lines of the supply by frequency, to 0.5 %), several of the same in their order.
// Time:    none.
// Errors:  none; a figure only one sheet has, or that bounds or missing numbers leave open, is neither
//          changed nor not.
// Threads: pure.
// Source:  difference() of figure.h; a bound is the half-line on its side of the value.
// Checked: tests/dsp/bench/change_test.cpp
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "dsp/bench/report.h"

namespace skedlark::bench {

struct Change {
    std::optional<Measurement> before{};  // at least one of them is there
    std::optional<Measurement> after{};
    std::optional<Figure> difference{};  // after less before, where both are values
    std::optional<bool> changed{};       // empty: cannot be told

    [[nodiscard]] const Measurement& either() const { return before ? *before : *after; }
};

[[nodiscard]] std::vector<Change> changes(std::span<const Measurement> before,
                                          std::span<const Measurement> after);

}  // namespace skedlark::bench
