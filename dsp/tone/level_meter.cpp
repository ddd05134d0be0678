#include "dsp/tone/level_meter.h"

#include <algorithm>
#include <cmath>

namespace skedlark::tone {
namespace {

// The key is down 22 of 50 units of the word PARIS; hands and texts differ by about this much.
constexpr double kUsualShare = 0.44;
constexpr double kShareSpread = 0.08;

}  // namespace

void LevelMeter::add(const BasebandFrame& frame) noexcept {
    if (!frame.has_level()) return;
    const auto variance = static_cast<double>(frame.noise_variance);
    if (variance <= 0.0) return;
    const double keep = 1.0 - 1.0 / kLevelMemoryFrames;
    // Frames in a crash say little; weigh by the inverse variance of their power.
    const double weight = 1.0 / (variance * variance);
    const auto power = static_cast<double>(std::norm(frame.z));
    weight_ = weight_ * keep + weight;
    power_ = power_ * keep + weight * (power - variance);
    // E p^2 - 4 v E p + 2 v^2 = d a^4 + (4 d a^2 v + 2 v^2) - 4 d a^2 v - 4 v^2 + 2 v^2 = d a^4.
    const double square = power * power - 4.0 * power * variance + 2.0 * variance * variance;
    square_ = square_ * keep + weight * square;
    square_error_ = square_error_ * keep * keep + weight * weight * 4.0 * std::pow(variance, 4.0);
}

double LevelMeter::amplitude_squared() const noexcept {
    if (weight_ <= 0.0) return 0.0;
    const double mean = std::max(0.0, power_ / weight_);
    if (mean <= 0.0) return 0.0;
    const double square = square_ / weight_;
    const double square_sd = std::sqrt(square_error_) / weight_;
    // The share d by its inverse, a^2 / mean: measured square / mean^2, usually 1 / .44.
    const double measured = square / (mean * mean);
    const double measured_variance = std::pow(square_sd / (mean * mean), 2.0);
    const double usual = 1.0 / kUsualShare;
    const double usual_variance = std::pow(kShareSpread / (kUsualShare * kUsualShare), 2.0);
    const double inverse_share = (measured * usual_variance + usual * measured_variance) /
                                 (usual_variance + measured_variance);
    return mean * std::clamp(inverse_share, 1.0, 10.0);
}

void LevelMeter::reset() noexcept { *this = LevelMeter{}; }

}  // namespace skedlark::tone
