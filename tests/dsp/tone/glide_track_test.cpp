#include "dsp/tone/glide_track.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

TEST(GlideTrack, StraightLineIsExact) {
    std::vector<GlideMeasurement> measured;
    for (int n = 0; n < 60; ++n)
        if (n < 22 || n > 28) measured.push_back({1.0 + 0.1 * n, 2500.0 - 100.0 * n, 3.0});
    const GlideTrack track(measured, 900.0);
    EXPECT_NEAR(track.zero_beat_s(), 3.5, 0.002);
    EXPECT_NEAR(track.rate_hz_per_s(), 1000.0, 3.0);
    EXPECT_NEAR(track.pitch_hz(1.5), 2000.0, 2.0);
    EXPECT_NEAR(track.pitch_hz(6.0), -2500.0, 2.0);
    EXPECT_LT(track.zero_beat_sd_s(), 0.05);
}

// With one arm only the crossing lies beyond the measurements, and is known the worse the further.
TEST(GlideTrack, OneArmIsCarriedOnToZeroBeat) {
    for (const bool falling : {true, false}) {
        std::vector<GlideMeasurement> measured;
        for (int n = 0; n < 40; ++n) {
            const double at_s = (falling ? 2.0 : 6.0) + 0.05 * n;
            measured.push_back({at_s, 1000.0 * (5.0 - at_s), 3.0});
        }
        const GlideTrack track(measured, 1000.0);
        EXPECT_NEAR(track.zero_beat_s(), 5.0, 2.0 * track.zero_beat_sd_s());
        EXPECT_GT(track.zero_beat_sd_s(), 0.05);
        EXPECT_LT(track.zero_beat_sd_s(), 0.5);
    }
}

// The stated deviation is true where the pace wanders as the model says: integrated white noise.
TEST(GlideTrack, DeviationIsTrue) {
    std::mt19937_64 random(support::test_seed(21));
    std::normal_distribution<double> normal;
    double squares = 0.0;
    int runs = 0;
    constexpr int kRuns = 300;
    for (int run = 0; run < kRuns; ++run) {
        constexpr double kStep = 0.001;
        double pitch = 2500.0;
        double rate = -1000.0;
        double zero_s = 0.0;
        std::vector<GlideMeasurement> measured;
        for (int n = 0; pitch > -2500.0 && n < 8000; ++n) {
            if (n % 40 == 0 && std::abs(pitch) > 300.0)
                measured.push_back({n * kStep, pitch + 5.0 * normal(random), 5.0});
            const double next = pitch + rate * kStep;
            if (pitch > 0.0 && next <= 0.0) zero_s = (n + pitch / (pitch - next)) * kStep;
            pitch = next;
            rate += GlideTrack::kWander * 1000.0 * std::sqrt(kStep) * normal(random);
        }
        if (zero_s == 0.0) continue;  // a pace that turned round
        const GlideTrack track(measured, 1000.0);
        squares += std::pow((track.zero_beat_s() - zero_s) / track.zero_beat_sd_s(), 2.0);
        ++runs;
    }
    ASSERT_GT(runs, kRuns * 9 / 10);
    EXPECT_NEAR(squares / runs, 1.0, 5.0 * std::sqrt(2.0 / kRuns));
}

}  // namespace
}  // namespace skedlark::tone
