#include "dsp/tone/drift_meter.h"

#include <cmath>

namespace skedlark::tone {
namespace {
constexpr double kMemory_s = 30.0;
constexpr double kLeast_s = 2.0;
}  // namespace

void DriftMeter::add(double at_s, double pitch_hz, double weight) noexcept {
    if (weight <= 0.0) return;
    if (weight_ <= 0.0) first_s_ = last_s_ = at_s;
    const double keep = std::exp(-(at_s - last_s_) / kMemory_s);
    last_s_ = at_s;
    weight_ = weight_ * keep + weight;
    const double share = weight / weight_;
    const double step_s = at_s - mean_s_;
    const double step_hz = pitch_hz - mean_hz_;
    mean_s_ += share * step_s;
    mean_hz_ += share * step_hz;
    time_time_ = time_time_ * keep + weight * step_s * (at_s - mean_s_);
    time_hz_ = time_hz_ * keep + weight * step_s * (pitch_hz - mean_hz_);
}

double DriftMeter::hz_per_min() const noexcept {
    if (last_s_ - first_s_ < kLeast_s || time_time_ <= 0.0) return 0.0;
    return 60.0 * time_hz_ / time_time_;
}

}  // namespace skedlark::tone
