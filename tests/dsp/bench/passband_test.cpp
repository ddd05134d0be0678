#include "dsp/bench/passband.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <numbers>

namespace skedlark::bench {
namespace {

std::vector<ResponsePoint> curve(double from, double to, double step,
                                 const std::function<double(double)>& db) {
    std::vector<ResponsePoint> points;
    for (double x = from; x <= to; x += step) points.push_back({x, {db(x), 0.0}, 60.0, 0.0, 0.0});
    return points;
}

// Power response of n equal tuned circuits of 3 dB width b each about x0.
double tuned_db(double x, double x0, double b, int n) {
    return -10.0 * n * std::log10(1.0 + std::pow(2.0 * (x - x0) / b, 2));
}

TEST(Passband, TwoTunedCircuits) {
    // Closed form: 6.0206 dB under at +-b/2 of each circuit's 3 dB width b, 60 dB at b/2 sqrt(10^3 - 1).
    const auto band = read_passband(
        curve(-20000.0, 20000.0, 20.0, [](double x) { return tuned_db(x, 150.0, 1000.0, 2); }), {});
    ASSERT_TRUE(band.ok()) << band.error().message;
    const double at_6 = 1000.0 * std::sqrt(std::pow(10.0, 0.3) - 1.0);
    const double at_60 = 1000.0 * std::sqrt(999.0);
    ASSERT_TRUE(band->at_6_db.width_hz && band->at_60_db.width_hz);
    EXPECT_NEAR(band->at_6_db.width_hz->value, at_6, 0.002 * at_6);
    EXPECT_NEAR(band->at_60_db.width_hz->value, at_60, 0.002 * at_60);
    EXPECT_NEAR(band->shape_factor->value, at_60 / at_6, 0.01 * at_60 / at_6);
    EXPECT_NEAR(band->centre_hz->value, 150.0, 2.0);
}

TEST(Passband, NoiseBandwidthOfKnownFilters) {
    // Ratios of noise to 3 dB width: references, section 7: single circuit 1.5708, two 1.22, Gaussian 1.0645,
    // Butterworth low-pass order 2 1.1107, 3 1.0472, 4 1.0262.
    const auto width = [](const std::function<double(double)>& db, double from, double to) {
        const auto band = read_passband(curve(from, to, 1.0, db), {});
        return band && band->noise_bandwidth_hz ? *band->noise_bandwidth_hz : Figure{};
    };
    const Figure single =
        width([](double x) { return tuned_db(x, 0.0, 100.0, 1); }, -8000.0, 8000.0);
    EXPECT_NEAR(single.value / 100.0, 1.5708, 0.005);
    const double two_at_3_db = 100.0 * std::sqrt(std::sqrt(2.0) - 1.0);
    EXPECT_NEAR(width([](double x) { return tuned_db(x, 0.0, 100.0, 2); }, -5000.0, 5000.0).value /
                    two_at_3_db,
                1.22, 0.005);
    EXPECT_NEAR(
        width([](double x) { return -3.0103 * std::pow(x / 50.0, 2); }, -400.0, 400.0).value /
            100.0,
        1.0645, 0.001);
    for (const auto& [order, ratio] : {std::pair{2, 1.1107}, {3, 1.0472}, {4, 1.0262}}) {
        const Figure low = width(
            [n = order](double x) { return -10.0 * std::log10(1.0 + std::pow(x / 1000.0, 2 * n)); },
            0.0, 20000.0);
        EXPECT_NEAR(low.value / 1000.0, ratio, 0.002) << order;
    }
}

TEST(Passband, ADipAtZeroBeatIsNoEdge) {
    const auto band = read_passband(curve(-6000.0, 6000.0, 25.0,
                                          [](double x) {
                                              return tuned_db(x, 0.0, 3000.0, 2) -
                                                     20.0 * std::exp(-std::abs(x) / 60.0);
                                          }),
                                    {});
    ASSERT_TRUE(band.ok());
    ASSERT_TRUE(band->at_6_db.width_hz.has_value());
    EXPECT_GT(band->at_6_db.width_hz->value, 2900.0);
}

TEST(Passband, SidesAndPulling) {
    auto points = curve(-2000.0, 2000.0, 100.0, [](double x) { return x > 0.0 ? -10.0 : -32.0; });
    points.push_back({700.0, {-10.0, 0.1}, 60.0, 455000.0, -60.0});
    points.push_back({688.0, {-9.0, 0.1}, 60.0, 455000.0, -10.0});
    const auto band = read_passband(points, {});
    ASSERT_TRUE(band.ok());
    ASSERT_TRUE(band->side_ratio_db.has_value());
    EXPECT_NEAR(band->side_ratio_db->value, 22.0, 1.01);
    ASSERT_EQ(band->pulling.size(), 1U);
    EXPECT_NEAR(band->pulling[0].shift_hz, 12.0, 1e-9);
}

TEST(Passband, WhatIsNotReachedIsSaid) {
    const auto band = read_passband(
        curve(100.0, 3000.0, 50.0, [](double x) { return tuned_db(x, 1500.0, 900.0, 2); }), {});
    ASSERT_TRUE(band.ok());
    EXPECT_TRUE(band->at_6_db.width_hz.has_value());
    EXPECT_FALSE(band->at_60_db.width_hz.has_value());
    ASSERT_EQ(band->remarks.size(), 1U);
    EXPECT_NE(band->remarks[0].find("no width at 60 dB"), std::string::npos);
    EXPECT_FALSE(read_passband({}, {}).ok());
    EXPECT_FALSE(
        read_passband(curve(0.0, 100.0, 10.0, [](double) { return std::nan(""); }), {}).ok());
    PassbandConfig wrong;
    wrong.listening_hz = -1.0;
    EXPECT_FALSE(read_passband(curve(0.0, 100.0, 10.0, [](double) { return 0.0; }), wrong).ok());
}

}  // namespace
}  // namespace skedlark::bench
