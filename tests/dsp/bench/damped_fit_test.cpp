#include "dsp/bench/damped_fit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

constexpr double kRateHz = 8000.0;

void add_mode(std::vector<float>& audio, double hz, double rate, double amplitude, double phase) {
    for (std::size_t i = 0; i < audio.size(); ++i) {
        const double t = static_cast<double>(i) / kRateHz;
        audio[i] += static_cast<float>(amplitude * std::exp(-rate * t) *
                                       std::cos(2.0 * std::numbers::pi * hz * t + phase));
    }
}

void add_noise(std::vector<float>& audio, double sd, std::uint64_t seed) {
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal(0.0, sd);
    for (float& x : audio) x += static_cast<float>(normal(random));
}

TEST(DampedFit, ACleanModeExactly) {
    std::vector<float> audio(2400, 0.0F);
    add_mode(audio, 432.1, 17.0, 0.2, 0.8);
    const auto modes = fit_damped(audio, kRateHz);
    ASSERT_FALSE(modes.empty());
    EXPECT_NEAR(modes[0].hz, 432.1, 0.01);
    EXPECT_NEAR(modes[0].rate_per_s, 17.0, 0.05);
    EXPECT_NEAR(modes[0].amplitude, 0.2, 0.001);
}

TEST(DampedFit, TwoModesApart) {
    std::vector<float> audio(3000, 0.0F);
    add_mode(audio, 350.0, 12.0, 0.2, 0.1);
    add_mode(audio, 1210.0, 30.0, 0.1, 2.0);
    add_noise(audio, 0.005, 3);
    const auto modes = fit_damped(audio, kRateHz);
    ASSERT_EQ(modes.size(), 2U);
    EXPECT_NEAR(modes[0].hz, 350.0, 0.3);
    EXPECT_NEAR(modes[1].hz, 1210.0, 1.0);
    EXPECT_NEAR(modes[1].rate_per_s, 30.0, 3.0);
}

TEST(DampedFit, NearTheCramerRaoBoundAndTrueAboutIt) {
    // Long ringing of rate a in white noise of variance s^2 a sample, amplitude A, rate_s samples a second: the
    // bound of the decay rate is sd = 2 a sqrt(2 a s^2 / (A^2 rate_s)) (Fisher information of amplitude and rate
    // integrated to infinity; of pitch the same over 2 pi).
    const std::uint64_t seed = support::test_seed(31);
    const double a = 20.0, amplitude = 0.1, sd = 0.05;
    const double bound = 2.0 * a * std::sqrt(4.0 * a * sd * sd / (amplitude * amplitude * kRateHz));
    double squares = 0.0;
    int hz_inside = 0, rate_inside = 0;
    constexpr int kRuns = 150;
    for (int n = 0; n < kRuns; ++n) {
        std::vector<float> audio(3200, 0.0F);
        add_mode(audio, 600.0 + n, a, amplitude, 0.1 * n);
        add_noise(audio, sd, support::seed_for_part(seed, n));
        const auto modes = fit_damped(audio, kRateHz);
        ASSERT_FALSE(modes.empty()) << n;
        squares += std::pow(modes[0].rate_per_s - a, 2);
        if (std::abs(modes[0].hz - 600.0 - n) <= 1.96 * modes[0].hz_sd) ++hz_inside;
        if (std::abs(modes[0].rate_per_s - a) <= 1.96 * modes[0].rate_sd_per_s) ++rate_inside;
    }
    EXPECT_NEAR(std::sqrt(squares / kRuns) / bound, 1.0, 0.2);
    EXPECT_GT(hz_inside, 0.89 * kRuns);
    EXPECT_GT(rate_inside, 0.89 * kRuns);
}

TEST(DampedFit, NoiseRingsNot) {
    int found = 0;
    for (std::uint64_t n = 0; n < 50; ++n) {
        std::vector<float> audio(3200, 0.0F);
        add_noise(audio, 0.05, n);
        if (!fit_damped(audio, kRateHz).empty()) ++found;
    }
    EXPECT_EQ(found, 0);
    EXPECT_TRUE(fit_damped(std::vector<float>(1000, 0.0F), kRateHz).empty());
}

}  // namespace
}  // namespace skedlark::bench
