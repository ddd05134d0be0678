#include "tests/support/reliability.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::support {
namespace {

// Worked by hand from the definitions: four characters, two bins.
// Low bin .5 right, .6 wrong: |1.1 - 1| = .1; high bin .9, .9 both right: |1.8 - 2| = .2; sum / 4 =
// .075. Brier: (.25 + .36 + .01 + .01) / 4 = .1575; constant .75 * .25 = .1875.
TEST(Reliability, WorkedByHand) {
    const Reliability r = reliability({{0.9, true}, {0.5, true}, {0.6, false}, {0.9, true}}, 2);
    EXPECT_EQ(r.count, 4);
    EXPECT_NEAR(r.calibration_error, 0.075, 1e-12);
    EXPECT_NEAR(r.brier, 0.1575, 1e-12);
    EXPECT_NEAR(r.brier_constant, 0.1875, 1e-12);
    EXPECT_NEAR(r.brier_skill(), 0.16, 1e-12);
    EXPECT_DOUBLE_EQ(r.errors_below_0_8, 1.0);
    ASSERT_EQ(r.bins.size(), 2U);
    EXPECT_NEAR(r.bins[0].mean_confidence, 0.55, 1e-12);
    EXPECT_DOUBLE_EQ(r.bins[1].share_right, 1.0);
}

TEST(Reliability, CertainAndRightIsPerfectCertainAndWrongIsWorst) {
    const Reliability good = reliability({{1.0, true}, {1.0, true}});
    EXPECT_DOUBLE_EQ(good.brier, 0.0);
    EXPECT_DOUBLE_EQ(good.calibration_error, 0.0);
    const Reliability bad = reliability({{1.0, false}, {1.0, false}});
    EXPECT_DOUBLE_EQ(bad.brier, 1.0);
    EXPECT_DOUBLE_EQ(bad.calibration_error, 1.0);
    EXPECT_DOUBLE_EQ(bad.errors_below_0_8, 0.0);
}

// A source whose confidence is true by construction must come out as such; one that says the square
// root of the truth must not. 20,000 characters: the bins' own noise is below .01.
TEST(Reliability, TellsTrueConfidenceFromBoasting) {
    std::mt19937_64 random(test_seed(3));
    std::uniform_real_distribution<double> chance(0.3, 1.0);
    std::uniform_real_distribution<double> uniform(0.0, 1.0);
    std::vector<Judged> truthful;
    std::vector<Judged> boasting;
    for (int i = 0; i < 20000; ++i) {
        const double p = chance(random);
        const bool right = uniform(random) < p;
        truthful.push_back({p, right});
        boasting.push_back({std::sqrt(p), right});
    }
    EXPECT_LT(reliability(truthful).calibration_error, 0.015);
    EXPECT_GT(reliability(boasting).calibration_error, 0.10);
    EXPECT_GT(reliability(truthful).brier_skill(), reliability(boasting).brier_skill());
}

TEST(Reliability, EqualCountsAndFewCharacters) {
    std::vector<Judged> seven;
    for (int i = 0; i < 7; ++i) seven.push_back({0.1 * i, true});
    const Reliability r = reliability(seven, 3);
    ASSERT_EQ(r.bins.size(), 3U);
    for (const ReliabilityBin& bin : r.bins)
        EXPECT_NEAR(static_cast<double>(bin.count), 7.0 / 3, 1);
    EXPECT_EQ(reliability({{0.5, true}}, 10).bins.size(), 1U);
    EXPECT_EQ(reliability({}).count, 0);
}

}  // namespace
}  // namespace skedlark::support
