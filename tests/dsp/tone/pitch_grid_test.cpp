#include "dsp/tone/pitch_grid.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

// Rows as a Hann window of 0.5 s gives them: exponential noise, and a line of this mean ratio.
struct Rows {
    std::mt19937_64 random;
    std::vector<float> row = std::vector<float>(kEvidenceCells);
    const std::vector<float>& next(double line_hz, double line_ratio) {
        std::exponential_distribution<double> noise;
        for (std::size_t cell = 1000; cell < 2000; ++cell) {
            // Noise of four neighbouring cells is nearly the same.
            row[cell] = cell % 4 == 0 ? static_cast<float>(noise(random)) : row[cell - 1];
            const double away = (static_cast<double>(cell) * kEvidenceCellHz - line_hz) / 1.6;
            row[cell] += static_cast<float>(line_ratio * std::exp(-away * away));
        }
        return row;
    }
};

TEST(PitchGrid, LogRatioIsThatOfTheMixtureWritten) {
    // Levels 3, 12 and 50 times the noise, equally likely, by hand.
    const double wanted =
        std::log((std::exp(6.0 * 3.0 / 4.0) / 4.0 + std::exp(6.0 * 12.0 / 13.0) / 13.0 +
                  std::exp(6.0 * 50.0 / 51.0) / 51.0) /
                 3.0);
    EXPECT_NEAR(tone_log_ratio(6.0), wanted, 1e-12);
    EXPECT_LT(tone_log_ratio(0.0), 0.0);
}

TEST(PitchGrid, SettlesOnAWeakLineAndChoosesTheSlowRate) {
    Rows rows{std::mt19937_64(support::test_seed(91)), {}};
    rows.row.assign(kEvidenceCells, 0.0F);
    PitchGrid grid(698.5, 1.5);
    std::bernoulli_distribution down(0.6);
    for (int n = 0; n < 100; ++n) grid.step(rows.next(700.0, down(rows.random) ? 12.0 : 0.0));
    EXPECT_NEAR(grid.pitch_hz(), 700.0, 1.0);  // two cells: these rows are rougher than real ones
    EXPECT_GT(grid.presence(), 0.8);
    EXPECT_GT(grid.rate_odds()[0], grid.rate_odds()[2]);
}

TEST(PitchGrid, StaysThroughTenSecondsOfNoise) {
    Rows rows{std::mt19937_64(support::test_seed(92)), {}};
    rows.row.assign(kEvidenceCells, 0.0F);
    PitchGrid grid(700.0, 1.0);
    for (int n = 0; n < 80; ++n) grid.step(rows.next(700.0, 20.0));
    for (int n = 0; n < 100; ++n) grid.step(rows.next(700.0, 0.0));
    EXPECT_NEAR(grid.pitch_hz(), 700.0, 1.5);
    EXPECT_LT(grid.presence(), 0.5);
}

TEST(PitchGrid, FollowsADriftOfOneHertzASecond) {
    Rows rows{std::mt19937_64(support::test_seed(93)), {}};
    rows.row.assign(kEvidenceCells, 0.0F);
    PitchGrid grid(700.0, 1.0);
    double hz = 700.0;
    for (int n = 0; n < 300; ++n) {
        hz += 0.1;
        grid.step(rows.next(hz, 60.0));
        if (n > 50) {
            ASSERT_NEAR(grid.pitch_hz(), hz, 1.5) << "step " << n;
        }
    }
}

TEST(PitchGrid, MassStaysOneAndNothingAllocates) {
    Rows rows{std::mt19937_64(support::test_seed(94)), {}};
    rows.row.assign(kEvidenceCells, 0.0F);
    PitchGrid grid(700.0, 1.0);
    const auto& row = rows.next(700.0, 1e9);  // a tone without any noise
    const support::AllocationCount count;
    for (int n = 0; n < 20; ++n) grid.step(row);
    EXPECT_EQ(count.made(), 0);
    const auto odds = grid.rate_odds();
    EXPECT_NEAR(odds[0] + odds[1] + odds[2], 1.0, 1e-9);
    grid.jump_to(800.0, 1.0);
    EXPECT_NEAR(grid.pitch_hz(), 800.0, 1e-9);
    EXPECT_NEAR(grid.rate_odds()[0], odds[0], 0.02);
}

}  // namespace
}  // namespace skedlark::tone
