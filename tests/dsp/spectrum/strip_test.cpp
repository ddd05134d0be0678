#include "dsp/spectrum/strip.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::spectrum {
namespace {

std::vector<float> tone_in_noise(double hz, double amplitude, std::uint64_t seed) {
    std::mt19937_64 random(support::test_seed(seed));
    std::normal_distribution<float> normal(0.0F, 0.1F);
    std::vector<float> audio(40000);
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double turn = 2.0 * std::numbers::pi * hz * static_cast<double>(n) / kWorkRateHz;
        audio[n] = normal(random) + static_cast<float>(amplitude * std::cos(turn));
    }
    return audio;
}

TEST(Strip, ShowsAToneAtItsPointAndNoiseNearZero) {
    auto strip = Strip::create({.low_hz = 580.0, .high_hz = 820.0, .points = 240});
    ASSERT_TRUE(strip.ok());
    std::vector<double> mean(240);
    int rows = 0;
    strip->process(tone_in_noise(700.5, 0.05, 41), [&](std::span<const float> row) {
        if (++rows <= 40) return;
        for (std::size_t n = 0; n < mean.size(); ++n) mean[n] += static_cast<double>(row[n]);
    });
    ASSERT_GT(rows, 100);
    const auto top = std::max_element(mean.begin(), mean.end()) - mean.begin();
    EXPECT_NEAR(static_cast<double>(top), 120.0, 4.0);  // half a bin of 7.8 Hz
    // Mean of a logarithm of exponential power: -2.5 dB (Euler's constant * 10 / ln 10); between
    // bins the mean of two such values is the same.
    double noise = 0.0;
    for (std::size_t n = 0; n < 80; ++n) noise += mean[n] / 80.0 / (rows - 40);
    EXPECT_NEAR(noise, -2.5, 0.8);
}

TEST(Strip, WideStripsTakeTheStrongestBinOfAPoint) {
    auto strip = Strip::create({.low_hz = 200.0, .high_hz = 3000.0, .points = 56});
    ASSERT_TRUE(strip.ok());
    std::vector<float> last;
    strip->process(tone_in_noise(1234.0, 0.5, 42),
                   [&](std::span<const float> row) { last.assign(row.begin(), row.end()); });
    const auto top = std::max_element(last.begin(), last.end()) - last.begin();
    EXPECT_EQ(top, static_cast<long>((1234.0 - 200.0) / 50.0));
}

TEST(Strip, GivesTheSameRowsForAnySplitAndAllocatesNothing) {
    const auto audio = tone_in_noise(700.0, 0.1, 43);
    auto strip = Strip::create({});
    ASSERT_TRUE(strip.ok());
    std::vector<float> whole;
    strip->process(audio, [&](std::span<const float> row) {
        whole.insert(whole.end(), row.begin(), row.end());
    });
    strip->reset();
    std::vector<float> split;
    split.reserve(whole.size());
    const support::AllocationCount count;
    for (std::size_t n = 0; n < audio.size(); n += 77) {
        strip->process(
            std::span(audio).subspan(n, std::min<std::size_t>(77, audio.size() - n)),
            [&](std::span<const float> row) { split.insert(split.end(), row.begin(), row.end()); });
    }
    EXPECT_EQ(count.made(), 0);
    EXPECT_EQ(split, whole);
}

TEST(Strip, SilenceIsLevel) {
    auto strip = Strip::create({});
    ASSERT_TRUE(strip.ok());
    strip->process(std::vector<float>(20000), [](std::span<const float> row) {
        for (const float level : row) ASSERT_EQ(level, 0.0F);
    });
}

TEST(Strip, LooksElsewhereAndRefusesWhatCannotBe) {
    auto strip = Strip::create({});
    ASSERT_TRUE(strip.ok());
    EXPECT_TRUE(strip->look_at(1000.0, 1500.0));
    EXPECT_FALSE(strip->look_at(1500.0, 1000.0));
    EXPECT_FALSE(strip->look_at(3000.0, 4001.0));
    EXPECT_FALSE(Strip::create({.low_hz = 900.0, .high_hz = 800.0}).ok());
    EXPECT_FALSE(Strip::create({.window_s = 0.001}).ok());
    EXPECT_FALSE(Strip::create({.hop_s = 1.0}).ok());
    EXPECT_FALSE(Strip::create({.points = 1}).ok());
}

}  // namespace
}  // namespace skedlark::spectrum
