#include "dsp/tone/baseband.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace skedlark::tone {
namespace {

constexpr int kSpan = 2 * kBasebandHalfSpan + 1;
// Tried 0.25 to 1: less lets truncation to eight frames correlate the noise, more lets neighbours
// in.
constexpr double kRollOff = 0.5;

// Root-raised-cosine pulse at t symbol lengths from its middle, scale free.
double root_raised_cosine(double t) {
    using std::numbers::pi;
    const double a = kRollOff;
    if (t == 0.0) return 1.0 - a + 4.0 * a / pi;
    const double at = 4.0 * a * t;
    if (std::abs(1.0 - at * at) < 1e-9) {
        const double angle = pi / (4.0 * a);
        return a / std::numbers::sqrt2 *
               ((1.0 + 2.0 / pi) * std::sin(angle) + (1.0 - 2.0 / pi) * std::cos(angle));
    }
    return (std::sin(pi * t * (1.0 - a)) + at * std::cos(pi * t * (1.0 + a))) /
           (pi * t * (1.0 - at * at));
}

std::vector<float> make_weights() {
    std::vector<double> pulse(kSpan);
    double sum = 0.0;
    for (int n = 0; n < kSpan; ++n) {
        const double t = static_cast<double>(n - kBasebandHalfSpan) / kWorkFramesPerBaseband;
        pulse[static_cast<std::size_t>(n)] = root_raised_cosine(t);
        sum += pulse[static_cast<std::size_t>(n)];
    }
    std::vector<float> weights(kSpan);
    for (std::size_t n = 0; n < weights.size(); ++n)
        weights[n] = static_cast<float>(pulse[n] / sum);
    return weights;
}

}  // namespace

const std::vector<float>& baseband_weights() {
    static const std::vector<float> weights = make_weights();
    return weights;
}

double baseband_noise_hz() {
    double sum = 0.0;
    for (const float weight : baseband_weights())
        sum += static_cast<double>(weight) * static_cast<double>(weight);
    return kWorkRateHz * sum;
}

Baseband::Baseband() : mixed_(2 * kSpan) {}

void Baseband::push(float sample, double pitch_hz) noexcept {
    const double angle = -2.0 * std::numbers::pi * phase_turns_;
    const auto twice =
        2.0 * static_cast<double>(sample);  // a real tone has half its amplitude here
    const std::complex<float> mixed(static_cast<float>(twice * std::cos(angle)),
                                    static_cast<float>(twice * std::sin(angle)));
    mixed_[static_cast<std::size_t>(next_)] = mixed;
    mixed_[static_cast<std::size_t>(next_ + kSpan)] = mixed;
    next_ = next_ + 1 == kSpan ? 0 : next_ + 1;
    phase_turns_ += pitch_hz / kWorkRateHz;
    phase_turns_ -= std::floor(phase_turns_);
}

std::complex<float> Baseband::value() const noexcept {
    const auto& weights = baseband_weights();
    const std::complex<float>* window = mixed_.data() + next_;
    float re = 0.0F;
    float im = 0.0F;
    for (std::size_t n = 0; n < weights.size(); ++n) {
        re += weights[n] * window[n].real();
        im += weights[n] * window[n].imag();
    }
    return {re, im};
}

void Baseband::reset() noexcept {
    std::fill(mixed_.begin(), mixed_.end(), std::complex<float>{});
    next_ = 0;
    phase_turns_ = 0.0;
}

}  // namespace skedlark::tone
