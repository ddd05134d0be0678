#include "dsp/tone/ear_filter.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/core/units.h"

namespace skedlark::tone {

namespace {

constexpr double kStopBandDb = 60.0;
// The skirt of the filter against its width: a steeper one rings.
constexpr double kSkirtShare = 0.6;
// Time constants: the ordinary size of samples; how fast the level comes up after a loud mark.
constexpr double kOrdinaryS = 0.3;
constexpr double kLevelUpS = 3.0;
constexpr double kLevelDownS = 0.02;
constexpr float kSmallest = 1e-9F;

// Modified Bessel function of order 0, by its series.
double bessel_i0(double x) {
    double term = 1.0;
    double sum = 1.0;
    for (int k = 1; k < 60 && term > 1e-16 * sum; ++k) {
        term *= (x / (2.0 * k)) * (x / (2.0 * k));
        sum += term;
    }
    return sum;
}

std::vector<float> low_pass(double width_hz) {
    const double skirt_hz = kSkirtShare * width_hz;
    const double beta = 0.1102 * (kStopBandDb - 8.7);
    const int half = static_cast<int>(std::ceil(
        (kStopBandDb - 8.0) / (2.0 * 2.285 * 2.0 * std::numbers::pi * skirt_hz / kWorkRateHz)));
    std::vector<float> weights(static_cast<std::size_t>(2 * half + 1));
    double sum = 0.0;
    for (int n = -half; n <= half; ++n) {
        const double x = std::numbers::pi * width_hz * n / kWorkRateHz;
        const double sinc = n == 0 ? 1.0 : std::sin(x) / x;
        const double at = static_cast<double>(n) / (half + 1);
        const double weight = sinc * bessel_i0(beta * std::sqrt(1.0 - at * at));
        weights[static_cast<std::size_t>(n + half)] = static_cast<float>(weight);
        sum += weight;
    }
    for (float& weight : weights) weight /= static_cast<float>(sum);
    return weights;
}

float rate_of(double time_s) { return static_cast<float>(1.0 / (time_s * kWorkRateHz)); }

}  // namespace

Result<EarFilter> EarFilter::create(const EarFilterConfig& config) {
    const auto refuse = [](const char* field, double value, double low, double high,
                           const char* unit) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: {} {} is out of range; allowed: {} to {} {}", field, value,
                                 unit, low, high, unit)};
    };
    if (!(config.width_hz >= 40.0 && config.width_hz <= 500.0)) {
        return refuse("width of the listening filter", config.width_hz, 40.0, 500.0, "Hz");
    }
    if (!(config.ceiling_dbfs >= -80.0 && config.ceiling_dbfs <= 0.0)) {
        return refuse("limit of the headphones", config.ceiling_dbfs, -80.0, 0.0, "dBFS");
    }
    if (!(config.level_dbfs >= -90.0 && config.level_dbfs <= config.ceiling_dbfs)) {
        return refuse("level of the headphones", config.level_dbfs, -90.0, config.ceiling_dbfs,
                      "dBFS");
    }
    return EarFilter(config, low_pass(config.width_hz));
}

EarFilter::EarFilter(const EarFilterConfig& config, std::vector<float> weights)
    : level_(static_cast<float>(amplitude_from_db(config.level_dbfs))),
      ceiling_(static_cast<float>(amplitude_from_db(config.ceiling_dbfs))),
      weights_(std::move(weights)),
      mixed_(2 * weights_.size()) {}

double EarFilter::delay_s() const noexcept {
    return static_cast<double>(weights_.size() / 2) / kWorkRateHz;
}

// The median of the sizes, followed up and down by equal shares.
float EarFilter::cut_static(float sample) noexcept {
    const float size = std::abs(sample);
    if (ordinary_ < kSmallest) ordinary_ = size;
    const float rate = rate_of(kOrdinaryS);
    ordinary_ *= size > ordinary_ ? 1.0F + rate : 1.0F - rate;
    const float most = kCrashCut * ordinary_;
    return std::clamp(sample, -most, most);
}

std::complex<float> EarFilter::filtered() const noexcept {
    const std::complex<float>* window = mixed_.data() + next_;
    float re = 0.0F;
    float im = 0.0F;
    for (std::size_t i = 0; i < weights_.size(); ++i) {
        re += weights_[i] * window[i].real();
        im += weights_[i] * window[i].imag();
    }
    return {re, im};
}

// The gain that brings the loudest of the last seconds to the level.
float EarFilter::even(float size) noexcept {
    loudest_ += (size - loudest_) * rate_of(size > loudest_ ? kLevelDownS : kLevelUpS);
    const float most = static_cast<float>(amplitude_from_db(kMostGainDb));
    return std::min(most, level_ / std::max(loudest_, kSmallest));
}

void EarFilter::process(std::span<const float> audio, double pitch_hz,
                        std::span<float> out) noexcept {
    const double step = pitch_hz / kWorkRateHz;
    // The oscillator as it was where the middle of the filter stands.
    const double back = step * static_cast<double>(weights_.size() / 2);
    for (std::size_t i = 0; i < audio.size(); ++i) {
        const float sample = std::isfinite(audio[i]) ? audio[i] : 0.0F;
        const double angle = 2.0 * std::numbers::pi * phase_turns_;
        const std::complex<float> turned{static_cast<float>(std::cos(angle)),
                                         static_cast<float>(-std::sin(angle))};
        const std::complex<float> mixed = 2.0F * cut_static(sample) * turned;
        mixed_[next_] = mixed;
        mixed_[next_ + weights_.size()] = mixed;
        next_ = (next_ + 1) % weights_.size();
        const std::complex<float> tone = filtered();
        const double there = 2.0 * std::numbers::pi * (phase_turns_ - back);
        const float sound = tone.real() * static_cast<float>(std::cos(there)) -
                            tone.imag() * static_cast<float>(std::sin(there));
        out[i] = std::clamp(sound * even(std::abs(tone)), -ceiling_, ceiling_);
        phase_turns_ += step;
        phase_turns_ -= std::floor(phase_turns_);
    }
}

void EarFilter::reset() noexcept {
    std::fill(mixed_.begin(), mixed_.end(), std::complex<float>{});
    ordinary_ = 0.0F;
    loudest_ = 0.0F;
    next_ = 0;
    phase_turns_ = 0.0;
}

}  // namespace skedlark::tone
