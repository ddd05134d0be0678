// Keyed tones in noise for the tests of the tone stage: made here from random dots and dashes, with
// no code of the stages and none of dsp/synth.
#pragma once

#include <cmath>
#include <functional>
#include <numbers>
#include <random>
#include <vector>

namespace skedlark::test {

inline constexpr double kRate = 8000.0;

// Key state in 0 to 1 for each sample: characters of one to five random elements, six words' gaps
// in every thirty characters or so; edges of 5 ms as half a cosine. jitter: relative, on every
// length.
inline std::vector<float> random_keying(double seconds, double wpm, std::mt19937& random,
                                        double jitter = 0.0) {
    const auto wanted = static_cast<std::size_t>(seconds * kRate);
    const double unit = 1.2 / wpm * kRate;
    std::vector<float> key;
    std::normal_distribution<double> normal;
    const auto add = [&](double units, float value) {
        const double length = units * unit * std::exp(jitter * normal(random));
        key.insert(key.end(), static_cast<std::size_t>(std::lround(length)), value);
    };
    std::uniform_int_distribution<int> elements(1, 5);
    // Three dashes in ten elements: the key is down 45 % of the time, as in plain text.
    std::bernoulli_distribution dash(0.3);
    std::uniform_int_distribution<int> fifth(0, 4);
    while (key.size() < wanted) {
        const int count = elements(random);
        for (int n = 0; n < count; ++n) {
            add(dash(random) ? 3.0 : 1.0, 1.0F);
            add(1.0, 0.0F);
        }
        add(fifth(random) == 0 ? 6.0 : 2.0, 0.0F);
    }
    key.resize(wanted);
    constexpr int kEdge = 40;
    std::vector<float> shaped(key.size());
    double weight_sum = 0.0;
    std::vector<double> weights(kEdge);
    for (int n = 0; n < kEdge; ++n) {
        weights[static_cast<std::size_t>(n)] = std::sin(std::numbers::pi * (n + 0.5) / kEdge);
        weight_sum += weights[static_cast<std::size_t>(n)];
    }
    for (std::size_t n = 0; n < key.size(); ++n) {
        double sum = 0.0;
        for (int m = 0; m < kEdge; ++m) {
            const auto at = static_cast<long>(n) + m - kEdge / 2;
            if (at >= 0 && at < static_cast<long>(key.size()))
                sum += weights[static_cast<std::size_t>(m)] *
                       static_cast<double>(key[static_cast<std::size_t>(at)]);
        }
        shaped[n] = static_cast<float>(sum / weight_sum);
    }
    return shaped;
}

// Adds a tone of this key-down amplitude; pitch_hz gives the pitch at a time in seconds.
inline void add_tone(std::vector<float>& audio, const std::vector<float>& key, double amplitude,
                     const std::function<double(double)>& pitch_hz, double start_phase = 0.3) {
    double phase = start_phase;
    for (std::size_t n = 0; n < audio.size() && n < key.size(); ++n) {
        audio[n] += static_cast<float>(amplitude * static_cast<double>(key[n]) * std::cos(phase));
        phase += 2.0 * std::numbers::pi * pitch_hz(static_cast<double>(n) / kRate) / kRate;
    }
}

inline std::vector<float> white_noise(double seconds, double deviation, std::mt19937& random) {
    std::vector<float> audio(static_cast<std::size_t>(seconds * kRate));
    std::normal_distribution<float> normal(0.0F, static_cast<float>(deviation));
    for (float& sample : audio) sample = normal(random);
    return audio;
}

// Peak amplitude of a tone of this key-down SNR in white noise of this standard deviation: noise
// power in 2500 Hz is deviation^2 * 2500 / 4000.
inline double amplitude_for(double snr_2500hz_db, double deviation) {
    return deviation *
           std::sqrt(2.0 * std::pow(10.0, 0.1 * snr_2500hz_db) * 2500.0 / (kRate / 2.0));
}

}  // namespace skedlark::test
