// A station's pitch through a sweep at an even pace, straight from its definition: what the stages
// of the glide finder are tested on.
#pragma once

#include <cmath>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

#include "dsp/core/units.h"

namespace skedlark::tone {

struct GlideSignal {
    double seconds = 12.0;
    double zero_beat_s = 6.0;
    double rate_hz_per_s = 1000.0;
    double amplitude = 0.05;
    double noise_deviation = 0.05;
    std::function<bool(double at_s)> key{};  // empty: always down
};

inline std::vector<float> make_glide(const GlideSignal& signal, std::mt19937_64& random) {
    std::normal_distribution<double> normal;
    std::vector<float> audio(static_cast<std::size_t>(signal.seconds * kWorkRateHz));
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double at_s = static_cast<double>(n) / kWorkRateHz;
        const double away_s = at_s - signal.zero_beat_s;
        const double pitch_hz = std::abs(signal.rate_hz_per_s * away_s);
        double value = signal.noise_deviation * normal(random);
        if (pitch_hz < 3600.0 && (!signal.key || signal.key(at_s)))
            value += signal.amplitude *
                     std::cos(std::numbers::pi * signal.rate_hz_per_s * away_s * away_s);
        audio[n] = static_cast<float>(value);
    }
    return audio;
}

// Density of that noise, one-sided.
inline double noise_density(const GlideSignal& signal) {
    return signal.noise_deviation * signal.noise_deviation / (0.5 * kWorkRateHz);
}

// Dots of 0.1 s.
inline bool dots(double at_s) { return std::fmod(at_s, 0.2) < 0.1; }

}  // namespace skedlark::tone
