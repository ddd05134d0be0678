// Moments against their definitions; limits are five standard errors of the sample size.
#include "dsp/synth/random.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <set>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

constexpr int kDraws = 200000;
const double kStandardError = 1.0 / std::sqrt(kDraws);

// The engine is fixed by the C++ standard [rand.predef]: the 10000th value from the default seed is
// 9981545732273789042. Our uniform() is its top 53 bits.
TEST(Random, EngineIsTheStandardOne) {
    Random random(std::mt19937_64::default_seed);
    double last = 0.0;
    for (int i = 0; i < 10000; ++i) last = random.uniform();
    EXPECT_DOUBLE_EQ(last, static_cast<double>(9981545732273789042ULL >> 11U) / 9007199254740992.0);
}

TEST(Random, Uniform) {
    Random random(probe::test_seed());
    double sum = 0.0;
    for (int i = 0; i < kDraws; ++i) {
        const double x = random.uniform(-2.0, 4.0);
        ASSERT_GE(x, -2.0);
        ASSERT_LT(x, 4.0);
        sum += x;
    }
    EXPECT_NEAR(sum / kDraws, 1.0, 5.0 * 6.0 / std::sqrt(12.0) * kStandardError);
}

TEST(Random, NormalMoments) {
    Random random(probe::test_seed());
    double m1 = 0.0;
    double m2 = 0.0;
    double m4 = 0.0;
    int beyond_two = 0;
    for (int i = 0; i < kDraws; ++i) {
        const double x = random.normal();
        m1 += x;
        m2 += x * x;
        m4 += x * x * x * x;
        if (std::abs(x) > 2.0) ++beyond_two;
    }
    EXPECT_NEAR(m1 / kDraws, 0.0, 5.0 * kStandardError);
    EXPECT_NEAR(m2 / kDraws, 1.0, 5.0 * std::sqrt(2.0) * kStandardError);
    EXPECT_NEAR(m4 / kDraws, 3.0, 5.0 * std::sqrt(96.0) * kStandardError);
    // Normal distribution: 4.55 % lie beyond two standard deviations.
    EXPECT_NEAR(static_cast<double>(beyond_two) / kDraws, 0.0455, 5.0 * 0.209 * kStandardError);
}

TEST(Random, LogNormalHasTheMeanAndSpreadAskedFor) {
    Random random(probe::test_seed());
    for (const double cv : {0.05, 0.3}) {
        double m1 = 0.0;
        double m2 = 0.0;
        for (int i = 0; i < kDraws; ++i) {
            const double x = random.log_normal(4.4, cv);
            ASSERT_GT(x, 0.0);
            m1 += x;
            m2 += x * x;
        }
        const double mean = m1 / kDraws;
        EXPECT_NEAR(mean, 4.4, 5.0 * 4.4 * cv * kStandardError);
        EXPECT_NEAR(std::sqrt(m2 / kDraws - mean * mean) / mean, cv,
                    5.0 * cv * kStandardError * 1.2);
    }
    EXPECT_DOUBLE_EQ(random.log_normal(3.0, 0.0), 3.0);
}

TEST(Random, BelowAndExponential) {
    Random random(probe::test_seed());
    int counts[7] = {};
    double sum = 0.0;
    for (int i = 0; i < kDraws; ++i) {
        ++counts[random.below(7)];
        sum += random.exponential(2.5);
    }
    for (const int count : counts) EXPECT_NEAR(count, kDraws / 7.0, 5.0 * std::sqrt(kDraws / 7.0));
    EXPECT_NEAR(sum / kDraws, 2.5, 5.0 * 2.5 * kStandardError);
}

TEST(Random, SeedsOfPartsDiffer) {
    std::set<std::uint64_t> seeds;
    for (std::uint64_t seed = 0; seed < 20; ++seed) {
        for (const char* part : {"noise", "wanted", "neighbour", ""}) {
            for (std::uint64_t index = 0; index < 20; ++index) {
                seeds.insert(derive_seed(seed, part, index));
            }
        }
    }
    EXPECT_EQ(seeds.size(), 20U * 4U * 20U);
    EXPECT_EQ(derive_seed(5, "noise", 1), derive_seed(5, "noise", 1));
}

}  // namespace
}  // namespace skedlark::synth
