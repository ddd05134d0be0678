#include "dsp/bench/steps.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_tone.h"
#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

// Noise whose level goes through these, in dB, for so long each.
std::vector<float> stepped(const std::vector<std::pair<double, double>>& steps,
                           std::uint64_t seed) {
    double seconds = 0.0;
    for (const auto& [length_s, db] : steps) seconds += length_s;
    const auto noise = test::band_noise(static_cast<std::size_t>(seconds * 8000.0), 8000.0, 300.0,
                                        2700.0, 0.01, seed);
    std::vector<float> out;
    for (const auto& [length_s, db] : steps) {
        for (double n = 0; n < length_s * 8000.0 && out.size() < noise.size(); ++n)
            out.push_back(static_cast<float>(noise[out.size()] * std::pow(10.0, db / 20.0)));
    }
    return out;
}

TEST(Steps, FoundToABlock) {
    const std::uint64_t first = support::test_seed(11);
    for (std::uint64_t seed = first; seed < first + 10; ++seed) {
        const auto audio = stepped({{5.0, 0.0}, {7.0, 3.0}, {6.0, 0.0}, {4.0, 20.0}}, seed);
        const auto blocks = block_powers(audio, 8000.0, {50.0, 4000.0});
        ASSERT_TRUE(blocks);
        const auto found = find_stretches(*blocks);
        ASSERT_EQ(found.size(), 4U) << seed;
        EXPECT_NEAR(found[1].from_s, 5.0, 0.21);
        EXPECT_NEAR(found[2].from_s, 12.0, 0.21);
        EXPECT_NEAR(found[3].from_s, 18.0, 0.11);
        EXPECT_NEAR(found[3].level_db - found[2].level_db, 20.0, 0.3);
    }
}

// Switched within a block, by 40 dB: that block belongs to neither, and makes no stretch of its own.
TEST(Steps, SwitchedWithinABlock) {
    for (const double at_s : {6.03, 6.05, 6.07, 6.09}) {
        auto audio = test::made({.seconds = 20.0, .amplitude = 0.5, .snr_db = 40.0, .seed = 8});
        const auto noise = test::band_noise(160000, 8000.0, 300.0, 2700.0, 0.0035, 9);
        for (std::size_t n = 0; n < audio.size(); ++n) {
            const double t = static_cast<double>(n) / 8000.0;
            if (t < at_s || t > at_s + 8.0) audio[n] = static_cast<float>(noise[n]);
        }
        const auto blocks = block_powers(audio, 8000.0, {50.0, 4000.0});
        ASSERT_TRUE(blocks);
        const auto found = find_stretches(*blocks);
        ASSERT_EQ(found.size(), 3U) << at_s;
        EXPECT_NEAR(found[1].level_db - found[0].level_db, 40.0, 0.3);
    }
}

TEST(Steps, EvenNoiseHasNone) {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const auto blocks = block_powers(stepped({{30.0, 0.0}}, seed), 8000.0, {50.0, 4000.0});
        ASSERT_TRUE(blocks);
        EXPECT_EQ(find_stretches(*blocks).size(), 1U) << seed;
    }
}

TEST(Steps, MeanOfAStretch) {
    const auto audio = stepped({{10.0, 0.0}, {10.0, 6.0}}, 3);
    const auto blocks = block_powers(audio, 8000.0, {50.0, 4000.0});
    ASSERT_TRUE(blocks);
    const std::vector<std::pair<double, double>> first{{0.0, 10.0}}, second{{10.0, 20.0}};
    const auto low = blocks->mean(first, 0.2);
    EXPECT_NEAR(low.seconds, 9.6, 0.11);
    // 10 s of 2.4 kHz: relative spread 0.65 %, here three times that.
    EXPECT_NEAR(low.power.value, 1e-4, 2e-6);
    EXPECT_NEAR(low.power.uncertainty_95, 1.3e-6, 0.5e-6);
    EXPECT_NEAR(blocks->mean(second, 0.2).power.value, 3.981e-4, 8e-6);
}

TEST(Steps, SilenceAndTooLittle) {
    const auto blocks = block_powers(std::vector<float>(80000), 8000.0, {50.0, 4000.0});
    ASSERT_TRUE(blocks);
    EXPECT_EQ(find_stretches(*blocks).size(), 1U);
    EXPECT_TRUE(find_stretches({}).empty());
    EXPECT_FALSE(block_powers({}, 8000.0, {50.0, 4000.0}));
}

}  // namespace
}  // namespace skedlark::bench
