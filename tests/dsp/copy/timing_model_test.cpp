#include "dsp/copy/timing_model.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::copy {
namespace {

struct Moments {
    double sum = 0.0, mean = 0.0, variance = 0.0;
};

Moments moments_of(const LengthTable& table) {
    Moments m;
    double first = 0.0, second = 0.0;
    for (std::size_t i = 0; i < table.odds.size(); ++i) {
        const auto odds = static_cast<double>(table.odds[i]);
        const double length = table.first + static_cast<double>(i);
        m.sum += odds;
        first += odds * length;
        second += odds * length * length;
    }
    m.mean = first / m.sum;
    m.variance = second / m.sum - m.mean * m.mean;
    return m;
}

// Log-normal with mean and cv as stated plus an edge spread of 0.30 frames at each end (source,
// kEdgeFrames), rounded to whole frames, which adds 1/12 (Sheppard's correction, from memory). The
// header allows a few per cent of lengths a wider scatter: twice as wide for 6 % gives 18 % more
// variance, 30 % at a cv of 0.4; the cut tails take some back.
TEST(TimingModel, TableHasTheMeanAndSpreadAskedFor) {
    for (const double mean : {4.0, 12.0, 36.0, 84.0, 240.0}) {
        for (const double cv : {0.03, 0.10, 0.28, 0.40}) {
            const Moments m = moments_of(length_table({mean, cv}));
            const double variance = cv * cv * mean * mean + 2.0 * 0.3 * 0.3 + 1.0 / 12.0;
            EXPECT_GT(m.sum, 0.99) << mean << " " << cv;
            EXPECT_LT(m.sum, 1.00001) << mean << " " << cv;
            EXPECT_NEAR(m.mean / mean, 1.0, 0.015) << mean << " " << cv;
            EXPECT_GT(std::sqrt(m.variance / variance), 0.95) << mean << " " << cv;
            EXPECT_LT(std::sqrt(m.variance / variance), 1.15) << mean << " " << cv;
        }
    }
}

// Closed form of the log-normal's distribution function, P(L < x) = Phi((ln x - mu) / sigma). Half
// the sum of differences (total variation) is the share of lengths that are not the log-normal's:
// the header's few per cent.
TEST(TimingModel, OddsAreTheLogNormalOverEachFrame) {
    const Length length{20.0, 0.2};
    const double cv2 = 0.2 * 0.2 + 2.0 * 0.3 * 0.3 / 400.0;
    const double sigma = std::sqrt(std::log(1.0 + cv2));
    const double mu = std::log(20.0) - sigma * sigma / 2.0;
    const auto below = [&](double x) {
        return 0.5 * (1.0 + std::erf((std::log(x) - mu) / (sigma * std::sqrt(2.0))));
    };
    const LengthTable table = length_table(length);
    double differences = below(table.first - 0.5) + 1.0 - below(table.last() + 0.5);
    for (int frames = table.first; frames <= table.last(); ++frames) {
        differences += std::abs(static_cast<double>(table.odds[frames - table.first]) -
                                (below(frames + 0.5) - below(frames - 0.5)));
    }
    EXPECT_LT(0.5 * differences, 0.03);
}

TEST(TimingModel, SurvivalIsTheSumOfWhatIsLeft) {
    for (const LengthTable& table :
         {length_table({12.0, 0.07}), length_table({90.0, 0.3}), stray_table(24.0, 2, 96)}) {
        EXPECT_EQ(table.survival(0), 1.0F);
        EXPECT_EQ(table.survival(table.first), 1.0F);
        EXPECT_EQ(table.survival(table.last() + 1), 0.0F);
        double left = 0.0;
        for (int frames = table.last(); frames > table.first; --frames) {
            left += static_cast<double>(table.odds[frames - table.first]);
            EXPECT_NEAR(static_cast<double>(table.survival(frames)), left, 1e-5);
            EXPECT_LE(table.survival(frames), table.survival(frames - 1));
        }
    }
}

// Geometric lengths from `first` on: odds 1 - q, (1 - q) q, ...; with q = exp(-1 / mean) the mean
// is first + q / (1 - q).
TEST(TimingModel, StrayLengthsAreGeometric) {
    const double q = std::exp(-1.0 / 24.0);
    const LengthTable table = stray_table(24.0, 2, 1000);
    const Moments m = moments_of(table);
    EXPECT_EQ(table.first, 2);
    EXPECT_EQ(table.last(), 1000);
    EXPECT_NEAR(m.sum, 1.0, 1e-5);
    EXPECT_NEAR(m.mean, 2.0 + q / (1.0 - q), 1e-3);
    EXPECT_NEAR(m.variance, q / ((1.0 - q) * (1.0 - q)), 0.5);
    // Cut at 4 means the chance of longer ones, e^-4, is missing.
    EXPECT_NEAR(moments_of(stray_table(24.0, 1, 96)).sum, 1.0 - std::exp(-4.0), 1e-5);
}

// ITU-R M.1677-1, Annex 1 part I section 2: 1 3 1 3 7.
TEST(TimingModel, MachineKeepsTheStandard) {
    const Timing timing = timing_of(machine(), 12.0);
    EXPECT_DOUBLE_EQ(timing.dot.mean_frames, 12.0);
    EXPECT_DOUBLE_EQ(timing.dash.mean_frames, 36.0);
    EXPECT_DOUBLE_EQ(timing.element_gap.mean_frames, 12.0);
    EXPECT_DOUBLE_EQ(timing.character_gap.mean_frames, 36.0);
    EXPECT_DOUBLE_EQ(timing.word_gap.mean_frames, 84.0);
}

TEST(TimingModel, ScalingKeepsProportionsAndSpread) {
    const Timing slow = timing_of(loose_hand(), 20.0);
    const Timing fast = scaled(slow, 0.5);
    EXPECT_DOUBLE_EQ(fast.dot.mean_frames, 10.0);
    EXPECT_DOUBLE_EQ(fast.word_gap.mean_frames, slow.word_gap.mean_frames / 2.0);
    EXPECT_DOUBLE_EQ(fast.dash.cv, slow.dash.cv);
    EXPECT_DOUBLE_EQ(fast.character_gap.cv, slow.character_gap.cv);
}

TEST(TimingModel, DifferWhereTablesWouldShowIt) {
    const Timing timing = timing_of(loose_hand(), 20.0);
    EXPECT_FALSE(differ(timing, timing));
    EXPECT_FALSE(differ(scaled(timing, 1.002), timing));
    EXPECT_TRUE(differ(scaled(timing, 1.01), timing));
    for (Length Timing::*const length : {&Timing::dot, &Timing::dash, &Timing::element_gap,
                                         &Timing::character_gap, &Timing::word_gap}) {
        Timing other = timing;
        (other.*length).cv *= 1.1;
        EXPECT_TRUE(differ(other, timing));
        other = timing;
        (other.*length).mean_frames *= 0.98;
        EXPECT_TRUE(differ(other, timing));
    }
}

// Lengths of no frames at all must not give an empty or broken table.
TEST(TimingModel, TinyLengthsStillGiveATable) {
    for (const double mean : {0.0, 0.4, 1.0}) {
        const LengthTable table = length_table({mean, 0.1});
        ASSERT_FALSE(table.odds.empty());
        EXPECT_GE(table.first, 1);
        for (const float odds : table.odds) {
            EXPECT_TRUE(std::isfinite(odds) && odds >= 0.0F);
        }
    }
}

}  // namespace
}  // namespace skedlark::copy
