#include "dsp/dial/motion.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::dial {
namespace {

TEST(Motion, PacedIsAStraightLine) {
    const auto motion = Motion::paced(50.0, 60.0, 120.0, 0.1);
    ASSERT_TRUE(motion.ok());
    EXPECT_NEAR(motion->at(0.0).div, 50.0, 1e-12);
    EXPECT_NEAR(motion->at(60.0).div, 55.0, 1e-12);
    EXPECT_NEAR(motion->at(120.0).div, 60.0, 1e-12);
    EXPECT_NEAR(motion->pace_div_per_s(30.0), 10.0 / 120.0, 1e-12);
    // At the ends only the reading is unsure; most in the middle.
    EXPECT_NEAR(motion->at(0.0).sd_div, 0.1, 1e-12);
    EXPECT_NEAR(motion->at(120.0).sd_div, 0.1, 1e-12);
    EXPECT_GT(motion->at(60.0).sd_div, motion->at(20.0).sd_div);
    EXPECT_GT(motion->at(150.0).sd_div, motion->at(130.0).sd_div);
    EXPECT_NEAR(motion->at(126.0).div, 60.5, 1e-12);
}

TEST(Motion, MarksMayRestAndTurnRound) {
    const auto motion = Motion::marked({{0, 50}, {10, 52}, {20, 52}, {40, 56}, {50, 54}}, 0.1);
    ASSERT_TRUE(motion.ok());
    EXPECT_NEAR(motion->at(5.0).div, 51.0, 1e-12);
    EXPECT_NEAR(motion->at(15.0).div, 52.0, 1e-12);
    EXPECT_NEAR(motion->at(15.0).sd_div, 0.1, 1e-12);  // it rests
    EXPECT_NEAR(motion->at(45.0).div, 55.0, 1e-12);
    const auto turns = motion->turns();
    ASSERT_EQ(turns.size(), 3U);
    EXPECT_EQ(turns[0].to.at_s, 10.0);
    EXPECT_EQ(turns[1].from.at_s, 20.0);
    EXPECT_EQ(turns[1].to.div, 56.0);
    EXPECT_EQ(turns[2].to.div, 54.0);
    EXPECT_NEAR(motion->paces().slowest_div_per_s, 0.2, 1e-12);
    EXPECT_EQ(motion->paces().low_div, 50.0);
    EXPECT_EQ(motion->paces().high_div, 56.0);
}

// The stated deviation against a hand made here: a pace that keeps for a while and then changes.
TEST(Motion, DeviationIsThatOfAnUnevenHand) {
    std::mt19937_64 random(support::test_seed(31));
    std::normal_distribution<double> normal;
    constexpr int kRuns = 2000;
    constexpr int kSteps = 2000;  // of 0.03 s
    double squares = 0.0;
    const auto motion = Motion::paced(0.0, 60.0, 60.0, 0.0);
    ASSERT_TRUE(motion.ok());
    for (int run = 0; run < kRuns; ++run) {
        double div = 0.0;
        double middle = 0.0;
        double swing = Motion::kWobble * normal(random);
        const double keep = std::exp(-0.03 / Motion::kWobbleS);
        for (int n = 0; n < kSteps; ++n) {
            swing = keep * swing + Motion::kWobble * std::sqrt(1.0 - keep * keep) * normal(random);
            div += 0.03 * (1.0 + swing);
            if (n == kSteps / 2 - 1) middle = div;
        }
        // The hand ends where it should: the error is spread over the way.
        squares += std::pow(middle - 0.5 * div, 2.0) / kRuns;
    }
    EXPECT_NEAR(std::sqrt(squares), motion->at(30.0).sd_div, 0.15 * motion->at(30.0).sd_div);
}

TEST(Motion, StepsRestAndMove) {
    const auto motion = Motion::stepped({50.0, 50.5, 0.2, 20.0, 2.0}, 0.1);
    ASSERT_TRUE(motion.ok()) << motion.error().message;
    const auto rests = motion->rests();
    ASSERT_EQ(rests.size(), 4U);  // 50, 50.2, 50.4, 50.5
    EXPECT_NEAR(rests[2].div, 50.4, 1e-12);
    EXPECT_NEAR(rests[2].from_s, 44.0, 1e-9);
    EXPECT_NEAR(rests[2].to_s, 64.0, 1e-9);
    EXPECT_NEAR(rests[3].div, 50.5, 1e-12);
    EXPECT_NEAR(motion->at(21.0).div, 50.1, 1e-12);
    EXPECT_NEAR(motion->at(50.0).div, 50.4, 1e-12);
    EXPECT_NEAR(motion->at(50.0).sd_div, 0.1, 1e-12);
    // Such moves are too short to meet a station in.
    EXPECT_TRUE(motion->turns().empty());
    EXPECT_EQ(motion->paces().fastest_div_per_s, 0.0);
    EXPECT_EQ(motion->paces().high_div, 50.5);
    const auto down = Motion::stepped({50.5, 50.0, 0.25, 8.0, 1.0}, 0.1);
    EXPECT_NEAR(down->rests().back().div, 50.0, 1e-12);
}

TEST(Motion, AMarkedSweepMayRest) {
    const auto motion =
        Motion::marked({{0, 50}, {30, 51}, {45, 51}, {50, 51}, {52, 51.2}, {60, 51.2}}, 0.1);
    ASSERT_TRUE(motion.ok());
    const auto rests = motion->rests();
    ASSERT_EQ(rests.size(), 2U);
    EXPECT_EQ(rests[0].from_s, 30.0);
    EXPECT_EQ(rests[0].to_s, 50.0);
    ASSERT_EQ(motion->turns().size(), 1U);
    EXPECT_NEAR(motion->paces().fastest_div_per_s, 1.0 / 30.0, 1e-12);
}

TEST(Motion, ErrorsSayWhatIsWrong) {
    EXPECT_FALSE(Motion::stepped({50.0, 50.0, 0.2, 20.0, 2.0}, 0.1).ok());
    EXPECT_FALSE(Motion::stepped({50.0, 51.0, 0.0, 20.0, 2.0}, 0.1).ok());
    EXPECT_FALSE(Motion::stepped({50.0, 51.0, 0.2, 1.0, 2.0}, 0.1).ok());
    EXPECT_FALSE(Motion::stepped({50.0, 51.0, 1e-6, 20.0, 2.0}, 0.1).ok());
    EXPECT_FALSE(Motion::stepped({50.0, std::nan(""), 0.2, 20.0, 2.0}, 0.1).ok());
    EXPECT_FALSE(Motion::paced(50.0, 50.0, 10.0, 0.1).ok());
    EXPECT_FALSE(Motion::paced(50.0, 51.0, 0.0, 0.1).ok());
    EXPECT_FALSE(Motion::marked({{0, 1}}, 0.1).ok());
    EXPECT_FALSE(Motion::marked({{0, 1}, {1, 1}}, 0.1).ok());
    const auto back = Motion::marked({{0, 1}, {2, 3}, {1, 4}}, 0.1);
    ASSERT_FALSE(back.ok());
    EXPECT_NE(back.error().message.find("mark 3"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::dial
