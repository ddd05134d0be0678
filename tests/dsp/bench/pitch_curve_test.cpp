#include "dsp/bench/pitch_curve.h"

#include <gtest/gtest.h>

namespace skedlark::bench {
namespace {

PitchSecond at(double hz) { return {ToneState::one, hz, 0.01, 0.0, 20.0, 0.1, 0.0}; }

TEST(PitchCurve, OlderPointsAreJoinedWithNothingLost) {
    PitchCurve curve(8);
    for (int n = 0; n < 29; ++n) curve.add(at(n));
    EXPECT_EQ(curve.step_s(), 4.0);
    EXPECT_EQ(curve.length_s(), 29.0);
    ASSERT_EQ(curve.points().size(), 8U);
    for (std::size_t i = 0; i < 7; ++i) {
        EXPECT_DOUBLE_EQ(curve.points()[i].pitch_hz, 4.0 * static_cast<double>(i) + 1.5);
        EXPECT_EQ(curve.points()[i].low_hz, 4.0 * static_cast<double>(i));
        EXPECT_EQ(curve.points()[i].high_hz, 4.0 * static_cast<double>(i) + 3.0);
        EXPECT_NEAR(curve.points()[i].sd_hz, 0.005, 1e-12);  // 0.01 / sqrt 4
        EXPECT_DOUBLE_EQ(curve.middle_s(i), 4.0 * static_cast<double>(i) + 2.0);
    }
    EXPECT_EQ(curve.points()[7].seconds, 1);
}

TEST(PitchCurve, SecondsWithoutATone) {
    PitchCurve curve(4);
    for (int n = 0; n < 8; ++n) n % 2 == 0 ? curve.add(at(5.0)) : curve.add_none();
    ASSERT_EQ(curve.points().size(), 4U);
    EXPECT_EQ(curve.points()[3].seconds, 1);
    EXPECT_EQ(curve.points()[3].pitch_hz, 5.0);
    EXPECT_EQ(joined({}, {}).seconds, 0);
}

}  // namespace
}  // namespace skedlark::bench
