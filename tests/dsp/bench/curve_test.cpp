#include "dsp/bench/curve.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::bench {
namespace {

TEST(Curve, ShortOnesStayAsTheyAre) {
    Curve curve{"pitch", "", "time_min", "pitch_hz", {{0, 1, 0.1}, {1, 2, 0.1}, {2, 3, 0.1}}};
    EXPECT_EQ(thinned(curve, 3).rows.size(), 3U);
    EXPECT_EQ(thinned(curve, 3).rows[1].y, 2);
    EXPECT_TRUE(thinned(Curve{}).rows.empty());
}

// Mean of n independent values of uncertainty u: u / sqrt(n). A straight line stays one.
TEST(Curve, NeighboursAreJoined) {
    Curve curve;
    for (int i = 0; i < 10000; ++i)
        curve.rows.push_back({static_cast<double>(i), 5.0 + 0.25 * i, 0.3});
    const Curve thin = thinned(curve, 100);
    ASSERT_EQ(thin.rows.size(), 100U);
    for (const CurveRow& row : thin.rows) {
        EXPECT_NEAR(row.y, 5.0 + 0.25 * row.x, 1e-9);
        EXPECT_NEAR(row.uncertainty_95, 0.3 / std::sqrt(100.0), 1e-12);
    }
    EXPECT_NEAR(thin.rows.front().x, 49.5, 1e-9);
    EXPECT_NEAR(thin.rows.back().x, 9949.5, 1e-9);
}

}  // namespace
}  // namespace skedlark::bench
