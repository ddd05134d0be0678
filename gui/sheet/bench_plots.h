// The pictures of a test of the bench, before a repair beside after it where both are there.
//
// Stage:   gui/sheet. In: BenchTest. Out: Plots.
// Units:   read off the names of curves and measurements.
// Shape:   curves as they were measured with their 95 %; lines of the supply, harmonics, errors of the dial and
//          sensitivity by frequency from the figures; events against time.
// Errors:  none; what cannot be drawn is left out.
// Threads: pure.
// Source:  none
// Checked: tests/desk/sheet/bench_plots_test.cpp
#pragma once

#include <string>
#include <vector>

#include "gui/chart/plot.h"
#include "gui/sheet/bench_result.h"

namespace skedlark::gui {

[[nodiscard]] std::vector<Plot> bench_plots(const BenchTest& test, const BenchTest* before);
// "pitch (Hz)" for "pitch_hz".
[[nodiscard]] std::string axis_title(const std::string& name);

}  // namespace skedlark::gui
