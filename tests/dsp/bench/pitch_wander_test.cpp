#include "dsp/bench/pitch_wander.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

PitchSecond at(double hz, double sd_hz) { return {ToneState::one, hz, sd_hz, 0.0, 20.0, 0.1, 0.0}; }

TEST(PitchWander, WhiteNoiseFallsWithTheRootOfTheLength) {
    // Closed form: the change of means of n values of variance s^2 is s sqrt(2 / n).
    std::mt19937_64 random(support::test_seed(2));
    std::normal_distribution<double> noise(0.0, 0.5);
    PitchWander wander;
    for (int n = 0; n < 65536; ++n) wander.add(true, at(700.0 + noise(random), 0.0));
    for (const Wander& w : wander.result()) {
        if (w.changes < 100) continue;
        const double exact = 0.5 * std::sqrt(2.0 / w.over_s);
        EXPECT_NEAR(w.rms_change_hz.value, exact, 1.6 * w.rms_change_hz.uncertainty_95) << w.over_s;
    }
}

TEST(PitchWander, DriftIsItsSlopeTimesTheLength) {
    PitchWander wander;
    for (int n = 0; n < 4096; ++n) wander.add(true, at(700.0 + 0.01 * n, 0.0));
    const auto found = wander.result();
    for (const Wander& w : found) {
        EXPECT_NEAR(w.rms_change_hz.value, 0.01 * w.over_s, w.rms_change_hz.uncertainty_95 + 1e-9);
    }
    EXPECT_EQ(found.back().over_s, 1024.0);
}

TEST(PitchWander, WhatNoiseAddsIsTakenOffAndGapsCountForNothing) {
    std::mt19937_64 random(support::test_seed(2));
    std::normal_distribution<double> noise(0.0, 0.5);
    PitchWander wander;
    for (int n = 0; n < 20000; ++n) {
        const bool there = n % 100 != 50;
        wander.add(there, at(there ? 700.0 + noise(random) : 0.0, 0.5));
    }
    EXPECT_LT(wander.result().front().rms_change_hz.value, 0.12);
}

}  // namespace
}  // namespace skedlark::bench
