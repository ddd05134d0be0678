#include "dsp/bench/pitch_jumps.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

PitchSecond at(double hz) { return {ToneState::one, hz, 0.001, 0.0, 20.0, 0.1, 0.0}; }

TEST(PitchJumps, AStepOnAWarmingCurveIsOne) {
    PitchJumps jumps(0.5);
    std::mt19937_64 random(support::test_seed(2));
    std::normal_distribution<double> noise(0.0, 0.02);
    for (int n = 0; n < 600; ++n) {
        // 300 Hz from cold within a minute's time constant: 5 Hz/s at first.
        const double hz =
            700.0 + 300.0 * std::exp(-n / 60.0) + (n >= 200 ? -3.0 : 0.0) + noise(random);
        jumps.add(n != 200, at(hz));  // the second of the jump itself has no one pitch
    }
    ASSERT_EQ(jumps.jumps().size(), 1U);
    EXPECT_NEAR(jumps.jumps()[0].at_s, 200.5, 1.0);
    EXPECT_NEAR(jumps.jumps()[0].step_hz.value, -3.0,
                jumps.jumps()[0].step_hz.uncertainty_95 + 0.1);
}

TEST(PitchJumps, AWalkIsNone) {
    // 0.3 Hz from second to second over ten hours.
    std::mt19937_64 random(support::test_seed(3));
    std::normal_distribution<double> step(0.0, 0.3);
    PitchJumps jumps(0.5);
    double hz = 700.0;
    for (int n = 0; n < 36000; ++n) {
        hz += step(random);
        jumps.add(true, at(hz));
    }
    EXPECT_LE(jumps.jumps().size(), 2U);
}

TEST(PitchJumps, SizeIsTrueNineteenTimesInTwenty) {
    std::mt19937_64 random(support::test_seed(4));
    std::normal_distribution<double> noise(0.0, 0.06);
    int inside = 0, found = 0;
    for (int run = 0; run < 400; ++run) {
        PitchJumps jumps(0.5);
        for (int n = 0; n < 40; ++n)
            jumps.add(true, at(700.0 + (n >= 20 ? 2.0 : 0.0) + noise(random)));
        for (const auto& jump : jumps.jumps()) {
            ++found;
            if (std::abs(jump.step_hz.value - 2.0) <= jump.step_hz.uncertainty_95) ++inside;
        }
    }
    EXPECT_GT(found, 395);
    EXPECT_GT(inside / static_cast<double>(found), 0.90);
    EXPECT_LT(inside / static_cast<double>(found), 0.99);
}

}  // namespace
}  // namespace skedlark::bench
