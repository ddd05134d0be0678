// Plain slow measuring tools, written for these tests alone: sums in double, no code of the
// library.
#pragma once

#include <cmath>
#include <complex>
#include <cstdint>
#include <numbers>
#include <random>
#include <span>
#include <vector>

#include "tests/support/seed.h"

namespace skedlark::synth::probe {

// Fixed unless TEST_SEED is set: a check with a chance of failing must do the same each time.
inline std::uint64_t test_seed() {
    static const std::uint64_t seed = support::test_seed(1);
    return seed;
}

// Mean of x e^(-j 2 pi f t) over the span: amplitude / 2 of a steady tone at hz.
inline std::complex<double> correlate(std::span<const float> x, double hz, double rate_hz) {
    const std::complex<double> turn = std::polar(1.0, -2.0 * std::numbers::pi * hz / rate_hz);
    std::complex<double> phasor{1.0, 0.0};
    std::complex<double> sum;
    for (const float value : x) {
        sum += static_cast<double>(value) * phasor;
        phasor *= turn;
    }
    return sum / static_cast<double>(x.size());
}

inline double mean_square(std::span<const float> x) {
    double sum = 0.0;
    for (const float value : x) sum += static_cast<double>(value) * static_cast<double>(value);
    return sum / static_cast<double>(x.size());
}

// One-sided noise density at hz, power per hertz: mean of periodograms of plain sums over pieces.
inline double density_at(std::span<const float> x, double hz, double rate_hz, std::size_t piece) {
    double sum = 0.0;
    std::size_t pieces = 0;
    for (std::size_t at = 0; at + piece <= x.size(); at += piece) {
        // Neighbouring bins of one piece are independent: ten of them tighten the mean.
        for (int bin = -5; bin < 5; ++bin) {
            const double f = hz + bin * rate_hz / static_cast<double>(piece);
            sum += std::norm(correlate(x.subspan(at, piece), f, rate_hz));
            ++pieces;
        }
    }
    return 2.0 * sum / static_cast<double>(pieces) * static_cast<double>(piece) / rate_hz;
}

// Noise power between two frequencies: all bins of plain transforms of pieces, each bin a piece's
// length of bandwidth wide.
inline double power_between(std::span<const float> x, double low_hz, double high_hz, double rate_hz,
                            std::size_t piece) {
    const double width_hz = rate_hz / static_cast<double>(piece);
    double sum = 0.0;
    std::size_t pieces = 0;
    for (std::size_t at = 0; at + piece <= x.size(); at += piece) {
        for (double hz = low_hz + 0.5 * width_hz; hz < high_hz; hz += width_hz) {
            sum += 2.0 * std::norm(correlate(x.subspan(at, piece), hz, rate_hz));
        }
        ++pieces;
    }
    return sum / static_cast<double>(pieces);
}

inline double db(double power) { return 10.0 * std::log10(power); }

}  // namespace skedlark::synth::probe
