// A pitch against time that never grows beyond its room: older points are joined two by two.
//
// Stage:   bench. In: one measured second after the other, or that none was measured. Out: points.
// Units:   seconds, hertz.
// Shape:   at most kMaxPoints; step_s() is a power of two.
// Time:    point n covers [n, n + 1) * step_s().
// Errors:  none.
// Threads: one thread per instance; add() does not allocate.
// Source:  none.
// Checked: tests/dsp/bench/pitch_curve_test.cpp
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "dsp/bench/pitch_second.h"

namespace skedlark::bench {

struct CurvePoint {
    double pitch_hz = 0.0;  // mean of its seconds
    double sd_hz = 0.0;     // of that mean, by noise
    double low_hz = 0.0;    // least and most of them
    double high_hz = 0.0;
    int seconds = 0;  // measured; 0: none
};

class PitchCurve {
 public:
    static constexpr std::size_t kMaxPoints = 131072;  // a day and a half second by second
    explicit PitchCurve(std::size_t max_points = kMaxPoints);

    void add(const PitchSecond& second);
    void add_none();
    [[nodiscard]] std::span<const CurvePoint> points() const { return points_; }
    [[nodiscard]] double step_s() const { return step_s_; }
    // Seconds added so far.
    [[nodiscard]] double length_s() const { return length_s_; }
    [[nodiscard]] double middle_s(std::size_t point) const {
        return (static_cast<double>(point) + 0.5) * step_s_;
    }

 private:
    void append(const CurvePoint& point);
    void halve();

    std::size_t max_points_;
    std::vector<CurvePoint> points_;
    double step_s_ = 1.0;
    double length_s_ = 0.0;
    int in_last_ = 0;  // seconds in the point being filled
};

[[nodiscard]] CurvePoint joined(const CurvePoint& a, const CurvePoint& b);

}  // namespace skedlark::bench
