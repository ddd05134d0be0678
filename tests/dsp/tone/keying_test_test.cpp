#include "dsp/tone/keying_test.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/tone/keyed_signal.h"
#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

constexpr double kDeviation = 0.05;
constexpr double kDensity = 2.0 * kDeviation * kDeviation / 8000.0;

std::mt19937 seeded(std::uint64_t seed) {
    return std::mt19937(static_cast<std::mt19937::result_type>(support::test_seed(seed)));
}

KeyingVerdict judge(const std::vector<float>& audio, double pitch_hz = 700.0, double rate = 0.0) {
    KeyingTest test;
    return test.judge(audio, std::vector<float>(audio.size(), 1.0F), pitch_hz, rate, kDensity);
}

struct Count {
    int keyed = 0, steady = 0, unknown = 0;
    void add(const KeyingVerdict& verdict) {
        ++(!verdict.keyed ? unknown : *verdict.keyed ? keyed : steady);
    }
};

// At -20 dB, 20 s, 12 to 20 wpm: wrong in at most 5 % of keyed and steady tones together. 60 of
// each make a chance of 0.5 % to see 12 or more where the true rate is 5 %.
TEST(KeyingTest, TellsKeyedFromSteadyAtMinusTwentyDecibels) {
    auto random = seeded(141);
    std::uniform_real_distribution<double> wpm(12.0, 20.0);
    Count keyed;
    Count steady;
    for (int trial = 0; trial < 60; ++trial) {
        auto audio = test::white_noise(20.0, kDeviation, random);
        test::add_tone(audio, test::random_keying(20.0, wpm(random), random, 0.08),
                       test::amplitude_for(-20.0, kDeviation), [](double) { return 700.01; });
        keyed.add(judge(audio));
        audio = test::white_noise(20.0, kDeviation, random);
        test::add_tone(audio, std::vector<float>(audio.size(), 1.0F),
                       test::amplitude_for(-20.0, kDeviation), [](double) { return 700.01; });
        steady.add(judge(audio));
    }
    EXPECT_LE(keyed.steady + steady.keyed, 11);
    EXPECT_GE(keyed.keyed, 45);
    EXPECT_GE(steady.steady, 50);
}

TEST(KeyingTest, IsSureOfClearTonesAtAllSpeeds) {
    auto random = seeded(142);
    for (const double wpm : {4.0, 12.0, 25.0, 60.0}) {
        auto audio = test::white_noise(20.0, kDeviation, random);
        test::add_tone(audio, test::random_keying(20.0, wpm, random, 0.1),
                       test::amplitude_for(0.0, kDeviation),
                       [](double t) { return 700.0 + 0.5 * t; });
        const auto verdict = judge(audio, 710.0, 0.5);
        ASSERT_TRUE(verdict.keyed.has_value()) << wpm << " wpm";
        EXPECT_TRUE(*verdict.keyed) << wpm << " wpm";
        EXPECT_GT(verdict.log_odds_two_levels, 0.0);
        EXPECT_NEAR(10.0 * std::log10(verdict.amplitude_squared /
                                      std::pow(test::amplitude_for(0.0, kDeviation), 2.0)),
                    0.0, 3.0);
    }
}

TEST(KeyingTest, AFadingCarrierIsNotCalledKeyed) {
    auto random = seeded(143);
    Count count;
    std::normal_distribution<double> normal;
    for (int trial = 0; trial < 20; ++trial) {
        auto audio = test::white_noise(20.0, kDeviation, random);
        // Rayleigh fading with a memory of half a second.
        const double keep = std::exp(-1.0 / (0.5 * 8000.0));
        const double kick = std::sqrt(0.5 * (1.0 - keep * keep));
        double re = normal(random);
        double im = normal(random);
        const double amplitude = test::amplitude_for(-5.0, kDeviation);
        for (std::size_t n = 0; n < audio.size(); ++n) {
            re = keep * re + kick * normal(random);
            im = keep * im + kick * normal(random);
            const double turn = 2.0 * std::numbers::pi * 700.0 * static_cast<double>(n) / 8000.0;
            audio[n] += static_cast<float>(amplitude * (re * std::cos(turn) - im * std::sin(turn)));
        }
        count.add(judge(audio));
    }
    EXPECT_LE(count.keyed, 1);
}

TEST(KeyingTest, TooLittleAudioSilenceAndNoDensityAreUnknown) {
    auto random = seeded(144);
    EXPECT_FALSE(judge(test::white_noise(1.0, kDeviation, random)).keyed.has_value());
    EXPECT_FALSE(judge(std::vector<float>(160000)).keyed.value_or(false));
    KeyingTest test;
    const std::vector<float> audio(80000, 0.1F);
    EXPECT_FALSE(test.judge(audio, audio, 700.0, 0.0, 0.0).keyed.has_value());
}

TEST(KeyingTest, JudgeDoesNotAllocate) {
    auto random = seeded(145);
    const auto audio = test::white_noise(20.0, kDeviation, random);
    const std::vector<float> weights(audio.size(), 1.0F);
    KeyingTest test(20.0);
    const support::AllocationCount count;
    test.judge(audio, weights, 700.0, 0.0, kDensity);
    EXPECT_EQ(count.made(), 0);
}

}  // namespace
}  // namespace skedlark::tone
