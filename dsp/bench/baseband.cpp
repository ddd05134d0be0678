#include "dsp/bench/baseband.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace skedlark::bench {
namespace {

constexpr double kRateToHalfWidth = 4.0;
// The low pass must be down where frequencies fold back: at rate - half width, 3 half widths.
constexpr double kBlackmanWidth = 5.5;  // of the transition, over the length's inverse

std::vector<double> low_pass(double sample_rate_hz, double half_width_hz) {
    const double transition = 2.0 * half_width_hz / sample_rate_hz;
    const auto half = static_cast<int>(std::ceil(0.5 * kBlackmanWidth / transition));
    const double cut = 2.0 * half_width_hz / sample_rate_hz;  // middle of the transition
    std::vector<double> taps;
    double sum = 0.0;
    for (int n = -half; n <= half; ++n) {
        const double x = std::numbers::pi * n;
        const double sinc = n == 0 ? 2.0 * cut : std::sin(2.0 * cut * x) / x;
        const double u = std::numbers::pi * n / (half + 1);
        taps.push_back(sinc * (0.42 + 0.5 * std::cos(u) + 0.08 * std::cos(2.0 * u)));
        sum += taps.back();
    }
    for (double& tap : taps) tap /= sum;
    return taps;
}

}  // namespace

Baseband to_baseband(std::span<const float> audio, double sample_rate_hz, const SineFit& fit,
                     double half_width_hz) {
    Baseband out;
    out.step = std::max<std::size_t>(
        1, static_cast<std::size_t>(sample_rate_hz / (kRateToHalfWidth * half_width_hz)));
    out.rate_hz = sample_rate_hz / static_cast<double>(out.step);
    out.sample_rate_hz = sample_rate_hz;
    out.middle_frame = 0.5 * (static_cast<double>(audio.size()) - 1.0);
    std::vector<std::complex<double>> mixed(audio.size());
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double t = (static_cast<double>(n) - out.middle_frame) / sample_rate_hz;
        const double phase =
            2.0 * std::numbers::pi * t * (fit.frequency_hz + 0.5 * fit.drift_hz_per_s * t);
        mixed[n] = 2.0 * static_cast<double>(audio[n]) *
                   std::complex<double>(std::cos(phase), -std::sin(phase));
    }
    const std::vector<double> taps = low_pass(sample_rate_hz, half_width_hz);
    const auto half = static_cast<std::ptrdiff_t>(taps.size() / 2);
    const auto size = static_cast<std::ptrdiff_t>(audio.size());
    for (std::ptrdiff_t centre = 0; centre < size;
         centre += static_cast<std::ptrdiff_t>(out.step)) {
        const std::ptrdiff_t low = std::max<std::ptrdiff_t>(-half, -centre);
        const std::ptrdiff_t high = std::min<std::ptrdiff_t>(half, size - 1 - centre);
        std::complex<double> sum;
        double weight = 0.0;  // 1 but at the ends
        for (std::ptrdiff_t n = low; n <= high; ++n) {
            const double tap = taps[static_cast<std::size_t>(n + half)];
            sum += tap * mixed[static_cast<std::size_t>(centre + n)];
            weight += tap;
        }
        out.samples.push_back(sum / weight);
    }
    out.edge_samples =
        static_cast<int>(std::ceil(static_cast<double>(half) / static_cast<double>(out.step)));
    return out;
}

}  // namespace skedlark::bench
