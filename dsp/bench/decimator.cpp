#include "dsp/bench/decimator.h"

#include <boost/math/special_functions/bessel.hpp>
#include <cmath>
#include <numbers>

#include "dsp/bench/input_check.h"
#include "dsp/core/vector_clones.h"

namespace skedlark::bench {
namespace {

constexpr double kLowestRateHz = 8000.0;
constexpr double kStopDb = 75.0;

// Gain 1 to highest_hz(), nothing from rate_out - highest_hz() on.
std::vector<float> make_taps(double rate_hz, double rate_out_hz) {
    const double pass = Decimator::highest_hz(), stop = rate_out_hz - pass;
    const double beta = 0.1102 * (kStopDb - 8.7);
    const double width = 2.0 * std::numbers::pi * (stop - pass) / rate_hz;
    const int half = static_cast<int>(std::ceil(0.5 * (kStopDb - 8.0) / (2.285 * width)));
    const double cut = (pass + stop) / rate_hz;  // of the half rate
    std::vector<float> taps;
    double sum = 0.0;
    for (int i = -half; i <= half; ++i) {
        const double x = std::numbers::pi * cut * i;
        const double place = static_cast<double>(i) / half;
        const double window = boost::math::cyl_bessel_i(0, beta * std::sqrt(1.0 - place * place)) /
                              boost::math::cyl_bessel_i(0, beta);
        const double tap = window * (i == 0 ? 1.0 : std::sin(x) / x);
        sum += tap;
        taps.push_back(static_cast<float>(tap));
    }
    for (float& tap : taps) tap /= static_cast<float>(sum);
    return taps;
}

SKEDLARK_VECTOR_CLONES
float weighted(const float* samples, const float* taps, std::size_t count) {
    float sums[16] = {};
    std::size_t i = 0;
    for (; i + 16 <= count; i += 16) {
        for (std::size_t k = 0; k < 16; ++k) sums[k] += samples[i + k] * taps[i + k];
    }
    float sum = 0.0F;
    for (; i < count; ++i) sum += samples[i] * taps[i];
    for (const float part : sums) sum += part;
    return sum;
}

}  // namespace

Decimator::Decimator(double sample_rate_hz, int factor)
    : factor_(factor), rate_hz_(sample_rate_hz / factor) {
    if (factor == 1) return;
    taps_ = make_taps(sample_rate_hz, rate_hz_);
    held_.assign(taps_.size() / 2, 0.0F);
}

Result<Decimator> Decimator::create(double sample_rate_hz) {
    if (Status s = check_rate(sample_rate_hz); !s) return s.error();
    return Decimator(sample_rate_hz, static_cast<int>(sample_rate_hz / kLowestRateHz));
}

void Decimator::process(std::span<const float> audio, std::vector<float>& out) {
    if (factor_ == 1) {
        out.insert(out.end(), audio.begin(), audio.end());
        return;
    }
    held_.insert(held_.end(), audio.begin(), audio.end());
    std::size_t at = 0;
    for (; at + taps_.size() <= held_.size(); at += static_cast<std::size_t>(factor_)) {
        out.push_back(weighted(held_.data() + at, taps_.data(), taps_.size()));
    }
    held_.erase(held_.begin(), held_.begin() + static_cast<std::ptrdiff_t>(at));
}

}  // namespace skedlark::bench
