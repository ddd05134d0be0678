#include "dsp/tone/drift_meter.h"

#include <algorithm>
#include <cmath>

namespace skedlark::tone {
namespace {
constexpr double kLeast_s = 2.0;
// Estimates come from spectra that overlap: errors persist over about this long.
constexpr double kErrorMemory_s = 0.5;
}  // namespace

void DriftMeter::add(double at_s, double pitch_hz, double weight) noexcept {
    if (weight <= 0.0) return;
    if (weight_ <= 0.0) first_s_ = last_s_ = at_s;
    const double keep = std::exp(-(at_s - last_s_) / memory_s_);
    last_s_ = at_s;
    weight_ = weight_ * keep + weight;
    const double share = weight / weight_;
    const double step_s = at_s - mean_s_;
    const double step_hz = pitch_hz - mean_hz_;
    mean_s_ += share * step_s;
    mean_hz_ += share * step_hz;
    time_time_ = time_time_ * keep + weight * step_s * (at_s - mean_s_);
    time_hz_ = time_hz_ * keep + weight * step_s * (pitch_hz - mean_hz_);
    hz_hz_ = hz_hz_ * keep + weight * step_hz * (pitch_hz - mean_hz_);
}

double DriftMeter::sure_hz_per_s() const noexcept {
    const double slope = hz_per_min() / 60.0;
    if (slope == 0.0) return 0.0;
    const double left = std::max(0.0, hz_hz_ - slope * time_hz_) / weight_;
    const double spread_s = std::sqrt(time_time_ / weight_);
    const double independent = std::max(1.0, 3.5 * spread_s / kErrorMemory_s);
    const double variance = left / (independent * spread_s * spread_s);
    return slope * std::max(0.0, 1.0 - 2.0 * variance / (slope * slope));
}

double DriftMeter::hz_per_min() const noexcept {
    if (last_s_ - first_s_ < kLeast_s || time_time_ <= 0.0) return 0.0;
    return 60.0 * time_hz_ / time_time_;
}

}  // namespace skedlark::tone
