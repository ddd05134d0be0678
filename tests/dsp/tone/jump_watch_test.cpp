#include "dsp/tone/jump_watch.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::tone {
namespace {

std::size_t cell_of(double hz) {
    return static_cast<std::size_t>(std::lround(hz / kEvidenceCellHz));
}

// A row with lines of the given ratios on a level of 1.
std::vector<float> row_with(double first_hz, float first, double second_hz = 0.0,
                            float second = 0.0F) {
    std::vector<float> row(kEvidenceCells, 1.0F);
    row[cell_of(first_hz)] += first;
    if (second > 0.0F) row[cell_of(second_hz)] += second;
    return row;
}

TEST(JumpWatch, TellsAJumpWithinOneAndAHalfSeconds) {
    JumpWatch watch(200.0);
    for (int n = 0; n < 60; ++n) ASSERT_FALSE(watch.step(row_with(700.0, 40.0F), 700.0));
    for (int n = 0; n < 15; ++n) {
        const auto jump = watch.step(row_with(870.0, 35.0F), 700.0);
        if (!jump) continue;
        EXPECT_NEAR(jump->to_hz, 870.0, 1.0);
        EXPECT_EQ(jump->lost_steps_ago, n + 1);
        return;
    }
    FAIL() << "no jump was told";
}

TEST(JumpWatch, NeverTakesANeighbourForTheTone) {
    JumpWatch watch(200.0);
    for (int n = 0; n < 60; ++n)
        ASSERT_FALSE(watch.step(row_with(700.0, 40.0F, 800.0, 60.0F), 700.0));
    for (int n = 0; n < 200; ++n) ASSERT_FALSE(watch.step(row_with(800.0, 60.0F), 700.0)) << n;
}

TEST(JumpWatch, TakesNoAnswerAfterAPauseForAJump) {
    JumpWatch watch(200.0);
    for (int n = 0; n < 60; ++n) ASSERT_FALSE(watch.step(row_with(700.0, 40.0F), 700.0));
    for (int n = 0; n < 30; ++n) ASSERT_FALSE(watch.step(row_with(700.0, 0.0F), 700.0));
    for (int n = 0; n < 60; ++n) ASSERT_FALSE(watch.step(row_with(760.0, 40.0F), 700.0));
}

TEST(JumpWatch, DoesNothingForAToneTooWeakToBeMissed) {
    JumpWatch watch(200.0);
    for (int n = 0; n < 60; ++n) ASSERT_FALSE(watch.step(row_with(700.0, 5.0F), 700.0));
    for (int n = 0; n < 60; ++n) ASSERT_FALSE(watch.step(row_with(870.0, 40.0F), 700.0));
}

TEST(JumpWatch, ResetForgets) {
    JumpWatch watch(200.0);
    for (int n = 0; n < 60; ++n) (void)watch.step(row_with(700.0, 40.0F), 700.0);
    watch.reset();
    for (int n = 0; n < 30; ++n) EXPECT_FALSE(watch.step(row_with(870.0, 40.0F), 700.0));
}

}  // namespace
}  // namespace skedlark::tone
