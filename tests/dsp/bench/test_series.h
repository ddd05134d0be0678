// A receiver with a generator at its input, stepped through levels: noise, and a tone that rises with
// them. Shares no code with what it tests.
//
// Stage:   tests. Units: dBm; the level at which tone and noise are equal is stated.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench::test {

struct TestStep {
    double seconds = 6.0;
    std::optional<double> dbm{};  // none: off
};
struct TestReceiver {
    double equal_dbm = -120.0;  // tone and noise are equal in the band
    double noise_rms = 0.01;
    double law = 1.0;           // 2: a square-law detector
    bool gain_control = false;  // holds the output where it is with noise alone
    double pitch_hz = 700.0;
    std::uint64_t seed = 1;
};

inline std::vector<float> made(const TestReceiver& set, const std::vector<TestStep>& steps) {
    double seconds = 0.0;
    for (const TestStep& step : steps) seconds += step.seconds;
    const auto frames = static_cast<std::size_t>(seconds * 8000.0);
    const auto noise = band_noise(frames, 8000.0, 300.0, 2700.0, set.noise_rms, set.seed);
    std::vector<float> out;
    double until = 0.0;
    for (const TestStep& step : steps) {
        until += step.seconds;
        const double snr =
            step.dbm ? std::pow(10.0, 0.1 * set.law * (*step.dbm - set.equal_dbm)) : 0.0;
        const double gain = set.gain_control ? 1.0 / std::sqrt(1.0 + snr) : 1.0;
        while (out.size() < frames && static_cast<double>(out.size()) < until * 8000.0) {
            const double t = static_cast<double>(out.size()) / 8000.0;
            const double tone = set.noise_rms * std::sqrt(2.0 * snr) *
                                std::cos(2.0 * std::numbers::pi * set.pitch_hz * t + 0.7);
            out.push_back(static_cast<float>(gain * (noise[out.size()] + tone)));
        }
    }
    return out;
}

}  // namespace skedlark::bench::test
