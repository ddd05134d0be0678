#include "dsp/dial/chart.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::dial {
namespace {

BandChart must(const Band& band) { return *BandChart::create(band); }

// A dial of straight-line frequency with one point a little off.
Band straight_with(double error_div) {
    Band band{.name = "a", .from_mhz = 3.0, .to_mhz = 5.0};
    for (int i = 0; i <= 5; ++i) band.points.push_back({20.0 * i, 3.0 + 0.4 * i});
    band.points[2].div += error_div;
    return band;
}

TEST(BandChart, RoundTripFarBelowAHundredthOfADivision) {
    double most = 0.0;
    for (const Band& band : test::mountain_set().bands) {
        const BandChart chart = must(band);
        for (double div = chart.low_div(); div <= chart.high_div(); div += 0.01) {
            most = std::max(most, std::abs(chart.div_at(chart.mhz_at(div)) - div));
        }
        for (const ChartPoint& point : band.points) {
            EXPECT_NEAR(chart.div_at(point.mhz), point.div, 1e-9);
        }
    }
    EXPECT_LT(most, 1e-9);
}

TEST(BandChart, KilohertzToADivision) {
    const BandChart straight = must(straight_with(0.0));
    EXPECT_NEAR(straight.khz_per_div(33.0), 20.0, 1e-9);
    EXPECT_NEAR(straight.khz_per_div(-3.0), 20.0, 1e-9);  // goes on beyond its ends
    const BandChart falling = must(test::mountain_set().bands[2]);
    EXPECT_GT(falling.khz_per_div(30.0), 0.0);
    EXPECT_EQ(falling.low_mhz(), 6.1);
    EXPECT_EQ(falling.high_mhz(), 10.4);
}

TEST(BandChart, ResidualsTellWhichPointIsOff) {
    // A straight line through the others is known exactly: the residual is the error itself.
    const BandChart chart = must(straight_with(0.5));
    ASSERT_EQ(chart.residuals_div().size(), 6U);
    EXPECT_FALSE(chart.residuals_div().front().has_value());
    EXPECT_FALSE(chart.residuals_div().back().has_value());
    EXPECT_NEAR(*chart.residuals_div()[2], 0.5, 1e-9);
    for (const std::size_t i : {1U, 3U, 4U}) EXPECT_LT(std::abs(*chart.residuals_div()[i]), 0.5);
    double squares = 0.0;
    for (std::size_t i = 1; i < 5; ++i) squares += std::pow(*chart.residuals_div()[i], 2.0);
    EXPECT_NEAR(chart.chart_sd_div(), std::sqrt(squares / 4.0), 1e-12);
    EXPECT_LT(must(straight_with(0.0)).chart_sd_div(), 1e-9);
}

TEST(BandChart, OfThreePointsTheMiddleAgainstTheLine) {
    const BandChart chart = must(
        {.name = "a", .from_mhz = 3.0, .to_mhz = 5.0, .points = {{0, 3.0}, {45, 4.0}, {100, 5.0}}});
    EXPECT_NEAR(*chart.residuals_div()[1], -5.0, 1e-12);
    EXPECT_NEAR(chart.chart_sd_div(), 5.0, 1e-12);
}

TEST(BandChart, AStatedUncertaintyGoesBeforeTheResiduals) {
    Band band = straight_with(0.5);
    band.chart_sd_div = 0.07;
    EXPECT_EQ(must(band).chart_sd_div(), 0.07);
}

TEST(BandChart, PointsThatMakeNoCurveAreRefused) {
    Band band = straight_with(0.0);
    band.points[3].mhz = 3.0;
    const auto chart = BandChart::create(band);
    ASSERT_FALSE(chart.ok());
    EXPECT_NE(chart.error().message.find("band \"a\": point 4"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::dial
