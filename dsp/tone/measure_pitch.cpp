#include "dsp/tone/measure_pitch.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <string>

#include "dsp/spectrum/real_fft.h"

namespace skedlark::tone {
namespace {

constexpr std::size_t kLeast = 16;
constexpr std::size_t kMost = std::size_t{1} << 21;
constexpr int kNewtonSteps = 12;
// The mirror half is known from one pass to the next; each makes its error smaller by the leak.
constexpr int kMirrorPasses = 4;

// Sum of (x - m) e^(-j w t) and its first two derivatives by w, t counted from the middle.
struct Sums {
    std::complex<double> value, first, second;
};

// The tone's half at negative frequency, which leaks into the positive one in short stretches.
struct Mirror {
    std::complex<double> amplitude;
    double radians_per_sample = 0.0;
};

Sums sums_at(std::span<const float> audio, double radians_per_sample, const Mirror& mirror) {
    Sums sums;
    const double middle = 0.5 * (static_cast<double>(audio.size()) - 1.0);
    // Turned by recurrence, put right every 256 samples so that rounding cannot build up.
    const std::complex<double> advance = std::polar(1.0, -radians_per_sample);
    const std::complex<double> mirror_advance = std::polar(1.0, mirror.radians_per_sample);
    std::complex<double> turn;
    std::complex<double> image;
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double t = static_cast<double>(n) - middle;
        if (n % 256 == 0) {
            turn = std::polar(1.0, -radians_per_sample * t);
            image = mirror.amplitude * std::polar(1.0, mirror.radians_per_sample * t);
        }
        const std::complex<double> term = turn * (static_cast<double>(audio[n]) - image);
        sums.value += term;
        sums.first += std::complex<double>(term.imag() * t, -term.real() * t);
        sums.second -= term * (t * t);
        turn *= advance;
        image *= mirror_advance;
    }
    return sums;
}

// Climbs to the top of the power of the sum within half a cell or so of start.
double top_near(std::span<const float> audio, double start, double cell, const Mirror& mirror) {
    double omega = start;
    for (int step = 0; step < kNewtonSteps; ++step) {
        const Sums sums = sums_at(audio, omega, mirror);
        const double slope = 2.0 * std::real(std::conj(sums.value) * sums.first);
        const double bend =
            2.0 * (std::norm(sums.first) + std::real(std::conj(sums.value) * sums.second));
        // Where the power bends upwards the top is not near: climb by half a cell.
        const double move = bend < 0.0 ? -slope / bend : (slope > 0.0 ? 0.5 : -0.5) * cell;
        omega = std::clamp(omega + std::clamp(move, -0.5 * cell, 0.5 * cell), start - 1.5 * cell,
                           start + 1.5 * cell);
        if (std::abs(move) < 1e-12) break;
    }
    return omega;
}

Error cannot(const char* field, double value, const std::string& allowed) {
    return {ErrorCode::invalid_value, std::string("pitch measurement ") + field + " is " +
                                          std::to_string(value) + ", allowed " + allowed};
}

}  // namespace

Result<PitchMeasurement> measure_pitch(std::span<const float> audio, double low_hz, double high_hz,
                                       double sample_rate_hz) {
    const auto length = static_cast<double>(audio.size());
    if (audio.size() < kLeast || audio.size() > kMost)
        return cannot("length in samples", length, "16 to 2097152");
    if (!(sample_rate_hz > 0.0)) return cannot("sample_rate_hz", sample_rate_hz, "above 0");
    if (!(high_hz < sample_rate_hz / 2.0))
        return cannot("high_hz", high_hz, "below " + std::to_string(sample_rate_hz / 2.0));
    if (!(low_hz >= 0.0 && low_hz < high_hz)) return cannot("low_hz", low_hz, "0 to below high_hz");

    int size = 64;
    while (static_cast<double>(size) < 2.0 * length) size *= 2;
    auto fft = spectrum::RealFft::create(size);
    if (!fft) return fft.error();
    const auto input = fft->input();
    std::copy(audio.begin(), audio.end(), input.begin());
    const auto bins = fft->transform();
    const double cell_hz = sample_rate_hz / size;
    const int from = std::clamp(static_cast<int>(std::ceil(low_hz / cell_hz)), 0, size / 2);
    const int to = std::clamp(static_cast<int>(std::floor(high_hz / cell_hz)), from, size / 2);
    int best = from;
    for (int bin = from; bin <= to; ++bin) {
        if (std::norm(bins[static_cast<std::size_t>(bin)]) >
            std::norm(bins[static_cast<std::size_t>(best)]))
            best = bin;
    }

    const double cell = 2.0 * std::numbers::pi / size;
    Mirror mirror;
    double omega = best * cell;
    Sums sums;
    for (int pass = 0; pass < kMirrorPasses; ++pass) {
        omega = top_near(audio, omega, cell, mirror);
        sums = sums_at(audio, omega, mirror);
        mirror = {std::conj(sums.value) / length, -omega};
    }
    return PitchMeasurement{omega * sample_rate_hz / (2.0 * std::numbers::pi),
                            2.0 * std::abs(sums.value) / length, std::arg(sums.value)};
}

}  // namespace skedlark::tone
