#include "tests/accuracy/bench_events/signals.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::accuracy {
namespace {

TEST(BenchSignals, NoiseForAToneHasTheRatioAskedFor) {
    std::vector<float> audio(400000, 0.0F);
    add_noise_for(audio, 16000.0, 0.1, 20.0, 1);
    double power = 0.0;
    for (const float x : audio) power += static_cast<double>(x) * static_cast<double>(x) / 400000.0;
    // A^2 / 2 over the noise in 2400 of 8000 Hz.
    EXPECT_NEAR(10.0 * std::log10(0.005 / (power * 2400.0 / 8000.0)), 20.0, 0.05);
}

TEST(BenchSignals, AGateIsOpenBeforeAndAfter) {
    std::vector<float> audio(8000, 1.0F);
    apply_gates(audio, 8000.0, {{0.5, 0.01, 20.0}});
    EXPECT_EQ(audio[3990], 1.0F);
    EXPECT_NEAR(audio[4040], 0.1, 1e-6);
    EXPECT_EQ(audio[4090], 1.0F);
}

TEST(BenchSignals, ATonesPhaseIsTheSumOfItsPitch) {
    std::vector<float> audio(8000, 0.0F);
    add_tone(audio, 8000.0, 1.0, 0.0, [](double t) { return 500.0 + 10.0 * t; });
    // Closed form: 2 pi (500 t + 5 t^2).
    for (const std::size_t i : {100UL, 4000UL, 7999UL}) {
        const double t = static_cast<double>(i) / 8000.0;
        EXPECT_NEAR(audio[i], std::cos(2.0 * 3.141592653589793 * (500.0 * t + 5.0 * t * t)), 1e-3);
    }
}

}  // namespace
}  // namespace skedlark::accuracy
