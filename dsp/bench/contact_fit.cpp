#include "dsp/bench/contact_fit.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace skedlark::bench {
namespace {

ToneSums sums_over(std::span<const float> piece, double cycles_per_sample) {
    const std::complex<double> turn = std::polar(1.0, 2.0 * std::numbers::pi * cycles_per_sample);
    std::complex<double> phase = 1.0;
    ToneSums sums;
    for (const float sample : piece) {
        const auto x = static_cast<double>(sample);
        sums.xx += x * x;
        sums.xc += x * phase.real();
        sums.xs += x * phase.imag();
        sums.c2 += phase.real() * phase.real() - phase.imag() * phase.imag();
        sums.s2 += 2.0 * phase.real() * phase.imag();
        phase *= turn;
    }
    return sums;
}

}  // namespace

Coefficients solve_tone(const ToneSums& sums, double count) {
    const double cc = 0.5 * (count + sums.c2);
    const double ss = 0.5 * (count - sums.c2);
    const double cs = 0.5 * sums.s2;
    const double determinant = cc * ss - cs * cs;
    if (!(determinant > 1e-6 * count * count)) return {};
    Coefficients found;
    found.cosine = (ss * sums.xc - cs * sums.xs) / determinant;
    found.sine = (cc * sums.xs - cs * sums.xc) / determinant;
    found.power_taken = found.cosine * sums.xc + found.sine * sums.xs;
    return found;
}

ToneFit fit_tone(std::span<const float> piece, double cycles_per_sample) {
    const ToneSums sums = sums_over(piece, cycles_per_sample);
    const auto count = static_cast<double>(piece.size());
    const Coefficients found = solve_tone(sums, count);
    return {sums.xx / count, std::hypot(found.cosine, found.sine),
            std::max(0.0, sums.xx - found.power_taken) / std::max(1.0, count - 2.0)};
}

void take_out_tone(std::span<float> piece, double cycles_per_sample) {
    const Coefficients found =
        solve_tone(sums_over(piece, cycles_per_sample), static_cast<double>(piece.size()));
    const std::complex<double> turn = std::polar(1.0, 2.0 * std::numbers::pi * cycles_per_sample);
    std::complex<double> phase = 1.0;
    for (float& sample : piece) {
        sample -= static_cast<float>(found.cosine * phase.real() + found.sine * phase.imag());
        phase *= turn;
    }
}

}  // namespace skedlark::bench
