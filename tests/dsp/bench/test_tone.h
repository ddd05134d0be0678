// A test signal of which everything is known: a tone with harmonics, drift, wander, noise in a band.
// Shares no code with what it tests.
//
// Stage:   tests. Out: audio.
// Units:   audio 1.0 = full scale; hertz; SNR is power of the tone over power of the noise in its band.
// Time:    the pitch is that in the middle.
// Source:  Box and Muller for the noise; a sinc under the Blackman window for its band, whose gain is
//          the sum of its squared taps.
#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>
#include <optional>
#include <random>
#include <vector>

namespace skedlark::bench::test {

struct Harmonics {
    int order = 2;
    double amplitude = 0.0;  // of the fundamental
    double phase_rad = 0.3;
};

struct TestTone {
    double sample_rate_hz = 8000.0;
    double seconds = 10.0;
    double amplitude = 0.3;
    double pitch_hz = 700.0;
    double drift_hz_per_s = 0.0;
    double phase_rad = 0.4;
    double wander_hz = 0.0;  // standard deviation of the pitch about its drift
    double wander_s = 1.0;   // how long it hangs together
    std::vector<Harmonics> harmonics{};
    std::optional<double> snr_db{};  // none: no noise
    double noise_low_hz = 300.0;
    double noise_high_hz = 2700.0;
    std::uint64_t seed = 1;
};

// Noise of this rms in a band, as long as asked for.
inline std::vector<double> band_noise(std::size_t frames, double sample_rate_hz, double low_hz,
                                      double high_hz, double rms, std::uint64_t seed) {
    constexpr int kHalf = 256;
    std::vector<double> taps;
    double energy = 0.0;
    for (int n = -kHalf; n <= kHalf; ++n) {
        const double x = std::numbers::pi * n;
        const auto sinc = [&](double hz) {
            const double w = 2.0 * hz / sample_rate_hz;
            return n == 0 ? w : std::sin(w * x) / x;
        };
        const double u = std::numbers::pi * n / (kHalf + 1);
        taps.push_back((sinc(high_hz) - sinc(low_hz)) *
                       (0.42 + 0.5 * std::cos(u) + 0.08 * std::cos(2.0 * u)));
        energy += taps.back() * taps.back();
    }
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal;
    std::vector<double> white(frames + taps.size());
    for (double& w : white) w = normal(random);
    std::vector<double> out(frames);
    for (std::size_t n = 0; n < frames; ++n) {
        double sum = 0.0;
        for (std::size_t k = 0; k < taps.size(); ++k) sum += taps[k] * white[n + k];
        out[n] = rms * sum / std::sqrt(energy);
    }
    return out;
}

// Phase in turns less the even drift: a pitch that wanders as a first-order process.
inline std::vector<double> wander_turns(const TestTone& tone, std::size_t frames) {
    std::vector<double> turns(frames);
    if (tone.wander_hz <= 0.0) return turns;
    std::mt19937_64 random(tone.seed ^ 0x9E3779B97F4A7C15ULL);
    std::normal_distribution<double> normal;
    const double keep = std::exp(-1.0 / (tone.wander_s * tone.sample_rate_hz));
    double hz = tone.wander_hz * normal(random);
    double sum = 0.0;
    for (double& t : turns) {
        hz = keep * hz + std::sqrt(1.0 - keep * keep) * tone.wander_hz * normal(random);
        sum += hz / tone.sample_rate_hz;
        t = sum;
    }
    return turns;
}

inline std::vector<float> made(const TestTone& tone) {
    const auto frames = static_cast<std::size_t>(tone.seconds * tone.sample_rate_hz);
    const double middle = 0.5 * (static_cast<double>(frames) - 1.0);
    const std::vector<double> wander = wander_turns(tone, frames);
    std::vector<double> noise(frames);
    if (tone.snr_db) {
        const double rms = tone.amplitude / std::sqrt(2.0) * std::pow(10.0, -*tone.snr_db / 20.0);
        noise = band_noise(frames, tone.sample_rate_hz, tone.noise_low_hz, tone.noise_high_hz, rms,
                           tone.seed);
    }
    std::vector<float> out(frames);
    for (std::size_t n = 0; n < frames; ++n) {
        const double t = (static_cast<double>(n) - middle) / tone.sample_rate_hz;
        const double turns = t * (tone.pitch_hz + 0.5 * tone.drift_hz_per_s * t) + wander[n];
        const double phase = 2.0 * std::numbers::pi * turns + tone.phase_rad;
        double x = tone.amplitude * std::cos(phase);
        for (const Harmonics& h : tone.harmonics)
            x += tone.amplitude * h.amplitude * std::cos(h.order * phase + h.phase_rad);
        out[n] = static_cast<float>(x + noise[n]);
    }
    return out;
}

// (S + N + D) / (N + D) of it, from what it was made of.
inline double true_sinad_db(const TestTone& tone) {
    double rest = tone.snr_db ? std::pow(10.0, -*tone.snr_db / 10.0) : 0.0;
    for (const Harmonics& h : tone.harmonics) rest += h.amplitude * h.amplitude;
    return 10.0 * std::log10((1.0 + rest) / rest);
}
inline double true_thd_db(const TestTone& tone) {
    double sum = 0.0;
    for (const Harmonics& h : tone.harmonics) sum += h.amplitude * h.amplitude;
    return 10.0 * std::log10(sum);
}

}  // namespace skedlark::bench::test
