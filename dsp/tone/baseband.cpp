#include "dsp/tone/baseband.h"

#include <algorithm>
#include <array>
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

// e^(j 2 pi turns) for 0 to 1 turns: from a table, and by the first terms of the series between its
// entries; wrong by less than 1e-8.
class Rotor {
 public:
    Rotor() {
        for (std::size_t i = 0; i < kEntries; ++i)
            entries_[i] = std::polar(1.0, kStep * static_cast<double>(i));
    }
    [[nodiscard]] std::complex<double> at(double turns) const noexcept {
        const double place = turns * kEntries + 0.5;
        const auto entry = static_cast<std::size_t>(place);
        const double rest = (place - 0.5 - static_cast<double>(entry)) * kStep;
        const double cosine = 1.0 - 0.5 * rest * rest;
        const std::complex<double>& near = entries_[entry % kEntries];
        return {near.real() * cosine - near.imag() * rest,
                near.imag() * cosine + near.real() * rest};
    }

 private:
    static constexpr std::size_t kEntries = 1024;
    static constexpr double kStep = 2.0 * std::numbers::pi / kEntries;
    std::array<std::complex<double>, kEntries> entries_;
};

const Rotor& rotor() {
    static const Rotor rotor;
    return rotor;
}

double noise_bandwidth_hz() {
    double sum = 0.0;
    for (const float weight : baseband_weights())
        sum += static_cast<double>(weight) * static_cast<double>(weight);
    return kWorkRateHz * sum;
}

}  // namespace

const std::vector<float>& baseband_weights() {
    static const std::vector<float> weights = make_weights();
    return weights;
}

double baseband_noise_hz() {
    static const double bandwidth_hz = noise_bandwidth_hz();
    return bandwidth_hz;
}

Baseband::Baseband() : mixed_(2 * kSpan) { shut_.reserve(kSpan); }

void Baseband::shut_from(double hz) noexcept {
    if (hz == shut_from_hz_) return;
    shut_from_hz_ = hz;
    if (hz <= 0.0) {
        shut_.clear();
        return;
    }
    // Samples from the middle to the window's end.
    const double half = std::min(kWorkRateHz / hz, kBasebandHalfSpan + 1.0);
    shut_.assign(kSpan, 0.0F);
    double sum = 0.0;
    for (int n = -kBasebandHalfSpan; n <= kBasebandHalfSpan; ++n) {
        const double weight =
            std::abs(n) < half ? 1.0 + std::cos(std::numbers::pi * n / half) : 0.0;
        shut_[static_cast<std::size_t>(n + kBasebandHalfSpan)] = static_cast<float>(weight);
        sum += weight;
    }
    for (float& weight : shut_) weight = static_cast<float>(static_cast<double>(weight) / sum);
}

void Baseband::push(float sample, double pitch_hz) noexcept {
    const auto twice =
        2.0 * static_cast<double>(sample);  // a real tone has half its amplitude here
    const std::complex<double> turned = rotor().at(phase_turns_);
    const std::complex<float> mixed(static_cast<float>(twice * turned.real()),
                                    static_cast<float>(-twice * turned.imag()));
    mixed_[static_cast<std::size_t>(next_)] = mixed;
    mixed_[static_cast<std::size_t>(next_ + kSpan)] = mixed;
    next_ = next_ + 1 == kSpan ? 0 : next_ + 1;
    phase_turns_ += pitch_hz / kWorkRateHz;
    phase_turns_ -= std::floor(phase_turns_);
}

std::complex<float> Baseband::value() const noexcept {
    const auto& weights = shut_.empty() ? baseband_weights() : shut_;
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
