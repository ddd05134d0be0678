#include "dsp/synth/turned_dial.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

constexpr double kRate = 1000.0;

TEST(TurnedDial, EvenPaceBetweenItsTimes) {
    TurnedDial dial({.rate_hz_per_s = -500.0, .from_s = 1.0, .to_s = 3.0}, kRate, 1);
    double tuned_hz = 0.0;
    for (int n = 0; n < 4000; ++n) {
        tuned_hz = dial.next();
        if (n == 1000) {
            EXPECT_NEAR(tuned_hz, 0.0, 1.0);
        }
        if (n == 2000) {
            EXPECT_NEAR(tuned_hz, -500.0, 1.0);
        }
    }
    EXPECT_NEAR(tuned_hz, -1000.0, 1.0);
    EXPECT_EQ(dial.rate_hz_per_s(), 0.0);
}

// Definition: the pace swings within the wobble and comes near both ends of it.
TEST(TurnedDial, WobbleKeepsItsBounds) {
    TurnedDial dial({.rate_hz_per_s = 1000.0, .wobble = 0.2, .wobble_step_s = 0.5}, kRate,
                    probe::test_seed());
    double least = 1e9;
    double most = 0.0;
    double mean = 0.0;
    constexpr int kSamples = 200000;
    for (int n = 0; n < kSamples; ++n) {
        (void)dial.next();
        least = std::min(least, dial.rate_hz_per_s());
        most = std::max(most, dial.rate_hz_per_s());
        mean += dial.rate_hz_per_s() / kSamples;
    }
    EXPECT_GE(least, 800.0);
    EXPECT_LT(least, 820.0);
    EXPECT_LE(most, 1200.0);
    EXPECT_GT(most, 1180.0);
    // 400 draws of standard deviation 115 Hz/s.
    EXPECT_NEAR(mean, 1000.0, 5.0 * 115.0 / std::sqrt(400.0));
}

}  // namespace
}  // namespace skedlark::synth
