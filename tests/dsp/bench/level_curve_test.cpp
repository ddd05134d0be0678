#include "dsp/bench/level_curve.h"

#include <gsl/gsl_fit.h>
#include <gtest/gtest.h>

#include <array>

namespace skedlark::bench {
namespace {

TEST(LevelCurve, ExactPointsGiveTheExactLevel) {
    const std::vector<LevelPoint> points{
        {-120.0, {4.0, 0.2}}, {-115.0, {9.0, 0.2}}, {-110.0, {14.0, 0.2}}, {-100.0, {40.0, 0.2}}};
    const auto curve = level_for(points, 10.0);
    ASSERT_TRUE(curve);
    EXPECT_NEAR(curve->level_dbm.value, -114.0, 1e-9);
    EXPECT_NEAR(curve->slope.value, 1.0, 1e-9);
    EXPECT_EQ(curve->points, 3);  // the one at 40 dB is too far
    EXPECT_FALSE(curve->scattered);
}

// Weights and covariances as in GSL's weighted straight line.
TEST(LevelCurve, AsInGsl) {
    const std::array<double, 4> x{-122.0, -118.0, -114.0, -110.0}, y{3.1, 6.8, 11.2, 14.9},
        u{0.5, 0.3, 0.2, 0.2};
    std::array<double, 4> w{};
    std::vector<LevelPoint> points;
    for (std::size_t i = 0; i < 4; ++i) {
        w[i] = std::pow(1.959963984540054 / u[i], 2.0);
        points.push_back({x[i], {y[i], u[i]}});
    }
    double c0 = 0, c1 = 0, v00 = 0, v01 = 0, v11 = 0, chi2 = 0;
    gsl_fit_wlinear(x.data(), 1, w.data(), 1, y.data(), 1, 4, &c0, &c1, &v00, &v01, &v11, &chi2);
    const auto curve = level_for(points, 9.54);
    ASSERT_TRUE(curve);
    const double at = (9.54 - c0) / c1;
    EXPECT_NEAR(curve->level_dbm.value, at, 1e-6);
    EXPECT_NEAR(curve->slope.value, c1, 1e-9);
    const double sd = std::sqrt(v00 + 2.0 * at * v01 + at * at * v11) / c1;
    const double wider = curve->scattered ? std::sqrt(chi2 / 2.0) : 1.0;
    EXPECT_NEAR(curve->level_dbm.uncertainty_95, 1.959963984540054 * sd * wider, 1e-6);
}

TEST(LevelCurve, OutsideOfWhatWasMeasuredIsRefused) {
    const std::vector<LevelPoint> weak{{-120.0, {1.0, 0.2}}, {-118.0, {3.0, 0.2}}};
    const auto low = level_for(weak, 10.0);
    ASSERT_FALSE(low);
    EXPECT_NE(low.error().message.find("higher"), std::string::npos);
    const std::vector<LevelPoint> strong{{-120.0, {31.0, 0.2}}, {-118.0, {33.0, 0.2}}};
    EXPECT_NE(level_for(strong, 10.0).error().message.find("lower"), std::string::npos);
    EXPECT_FALSE(level_for({}, 10.0));
    const std::vector<LevelPoint> flat{{-120.0, {9.0, 0.2}}, {-110.0, {9.1, 0.2}}};
    EXPECT_NE(level_for(flat, 10.0).error().message.find("rise"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::bench
