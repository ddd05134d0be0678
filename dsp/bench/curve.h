// A measured curve, thinned to what a plot can show.
//
// Stage:   bench. In: points by rising x. Out: Curve.
// Units:   in x_name and y_name: "time_min", "pitch_hz".
// Shape:   kMostCurvePoints at most, so that a result stays small however long it was measured.
// Time:    none.
// Errors:  none; a stretch where nothing was measured is left out.
// Threads: pure.
// Source:  neighbours are joined by their mean, its uncertainty that of a mean of independent values
//          (JCGM 100:2008, from memory).
// Checked: tests/dsp/bench/curve_test.cpp
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace skedlark::bench {

inline constexpr std::size_t kMostCurvePoints = 400;

struct CurveRow {
    double x = 0.0;
    double y = 0.0;
    double uncertainty_95 = 0.0;  // of y
};

struct Curve {
    std::string name{};  // "pitch"
    std::string what{};  // in plain words, for people
    std::string x_name{};
    std::string y_name{};
    std::vector<CurveRow> rows{};
};

[[nodiscard]] Curve thinned(Curve curve, std::size_t most = kMostCurvePoints);

}  // namespace skedlark::bench
