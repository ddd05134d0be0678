// From ratios measured at several generator levels, the level at which a wanted ratio is reached.
//
// Stage:   bench. In: points. Out: LevelCurve.
// Units:   dBm in; dB of signal over noise out.
// Shape:   points in rising order of level; those near the wanted ratio are fitted.
// Time:    none.
// Errors:  invalid_value: fewer than two points near it, or it lies outside of what was measured.
// Threads: pure.
// Source:  weighted least squares of a straight line in dB: a linear receiver rises dB for dB, a square
//          law twice as fast, so the slope is fitted, too. The uncertainty is that of the crossing by
//          the delta method, widened where the points scatter more than they should.
// Checked: tests/dsp/bench/level_curve_test.cpp
#pragma once

#include <span>

#include "dsp/bench/figure.h"
#include "dsp/core/result.h"

namespace skedlark::bench {

struct LevelPoint {
    double dbm = 0.0;
    Figure ratio_db{};
};

struct LevelCurve {
    Figure level_dbm{};
    Figure slope{};          // dB a dB
    int points = 0;          // used
    bool scattered = false;  // more than their uncertainties explain
};

inline constexpr double kNearDb = 12.0;   // points further from the wanted ratio do not count
inline constexpr double kBeyondDb = 3.0;  // so far beyond the points a line may still be carried

[[nodiscard]] Result<LevelCurve> level_for(std::span<const LevelPoint> points, double ratio_db);

}  // namespace skedlark::bench
