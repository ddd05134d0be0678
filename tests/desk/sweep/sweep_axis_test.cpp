#include "gui/sweep/sweep_axis.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

TEST(SweepAxis, DivisionToPixelAndBack) {
    SweepAxis axis(44.0, 42.0);
    axis.set_pixels(100.0, 800.0);
    EXPECT_DOUBLE_EQ(axis.x_of(42.0), 100.0);
    EXPECT_DOUBLE_EQ(axis.x_of(44.0), 900.0);
    EXPECT_DOUBLE_EQ(axis.x_of(42.5), 300.0);
    for (const double div : {41.0, 42.3, 43.99, 50.0}) {
        EXPECT_NEAR(axis.div_at(axis.x_of(div)), div, 1e-12);
    }
}

TEST(SweepAxis, ShowsALittleBeyondBothEndsWhicheverWayItIsTurned) {
    const SweepAxis up = SweepAxis::around(40.0, 50.0);
    EXPECT_LT(up.low_div(), 40.0);
    EXPECT_GT(up.high_div(), 50.0);
    EXPECT_EQ(up, SweepAxis::around(50.0, 40.0));
    EXPECT_NEAR(SweepAxis::around(7.0, 7.0).span_div(), SweepAxis::kLeastSpanDiv, 1e-9);
}

TEST(SweepAxis, TicksAreRoundAndWithin) {
    const SweepAxis axis(41.92, 44.08);
    EXPECT_DOUBLE_EQ(axis.tick_step(10), 0.5);
    const auto ticks = axis.ticks(10);
    ASSERT_EQ(ticks.size(), 5U);
    EXPECT_DOUBLE_EQ(ticks.front(), 42.0);
    EXPECT_DOUBLE_EQ(ticks.back(), 44.0);
    EXPECT_DOUBLE_EQ(SweepAxis(0.0, 100.0).tick_step(10), 10.0);
    EXPECT_DOUBLE_EQ(SweepAxis(-1.0, 1.0).ticks(4)[2], 0.0);
}

}  // namespace
}  // namespace skedlark::gui
