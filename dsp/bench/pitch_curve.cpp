#include "dsp/bench/pitch_curve.h"

#include <algorithm>
#include <cmath>

namespace skedlark::bench {

CurvePoint joined(const CurvePoint& a, const CurvePoint& b) {
    if (a.seconds == 0) return b;
    if (b.seconds == 0) return a;
    const double na = a.seconds, nb = b.seconds;
    CurvePoint sum;
    sum.seconds = a.seconds + b.seconds;
    sum.pitch_hz = (na * a.pitch_hz + nb * b.pitch_hz) / (na + nb);
    sum.sd_hz = std::hypot(na * a.sd_hz, nb * b.sd_hz) / (na + nb);
    sum.low_hz = std::min(a.low_hz, b.low_hz);
    sum.high_hz = std::max(a.high_hz, b.high_hz);
    return sum;
}

PitchCurve::PitchCurve(std::size_t max_points) : max_points_(std::max<std::size_t>(2, max_points)) {
    points_.reserve(max_points_);
}

void PitchCurve::add(const PitchSecond& second) {
    append({second.pitch_hz, second.sd_hz, second.pitch_hz, second.pitch_hz, 1});
}

void PitchCurve::add_none() { append({}); }

void PitchCurve::append(const CurvePoint& point) {
    length_s_ += 1.0;
    if (in_last_ > 0) {
        points_.back() = joined(points_.back(), point);
    } else {
        if (points_.size() == max_points_) halve();
        points_.push_back(point);
    }
    in_last_ = in_last_ + 1 >= static_cast<int>(step_s_) ? 0 : in_last_ + 1;
}

void PitchCurve::halve() {
    const std::size_t pairs = points_.size() / 2;
    for (std::size_t i = 0; i < pairs; ++i) points_[i] = joined(points_[2 * i], points_[2 * i + 1]);
    points_.resize(pairs);
    step_s_ *= 2.0;
}

}  // namespace skedlark::bench
