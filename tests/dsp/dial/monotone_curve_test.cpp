#include "dsp/dial/monotone_curve.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>
#include <string>

#include "tests/support/csv.h"
#include "tests/support/seed.h"

namespace skedlark::dial {
namespace {

// Monotone data as Fritsch and Carlson print them (from memory), and a dial that falls; the same
// points stand in golden/make_pchip.py.
const std::vector<double> kRpnX{7.99, 8.09, 8.19, 8.7, 9.2, 10, 12, 15, 20};
const std::vector<double> kRpnY{0,        2.76429e-5, 4.37498e-2, 0.169183, 0.469428,
                                0.943740, 0.998636,   0.999919,   0.999994};
const std::vector<double> kDialX{2, 11, 25, 37.5, 52, 70, 96};
const std::vector<double> kDialY{6.11, 5.42, 4.71, 4.25, 3.81, 3.42, 3.02};

MonotoneCurve must(std::vector<double> x, std::vector<double> y) {
    return *MonotoneCurve::create(std::move(x), std::move(y));
}

TEST(MonotoneCurve, IsSciPysPchip) {
    const auto golden = support::CsvTable::read(std::string(GOLDEN_FOLDER) + "/pchip.csv");
    ASSERT_TRUE(golden.ok()) << golden.error().message;
    const MonotoneCurve rpn = must(kRpnX, kRpnY);
    const MonotoneCurve dial = must(kDialX, kDialY);
    ASSERT_EQ(golden->rows().size(), 122U);
    for (const auto& row : golden->rows()) {
        const MonotoneCurve& curve = row[0] == "rpn" ? rpn : dial;
        const double x = std::stod(row[1]);
        EXPECT_NEAR(curve.value(x), std::stod(row[2]), 1e-12) << row[0] << " at " << x;
        EXPECT_NEAR(curve.slope(x), std::stod(row[3]), 1e-11) << row[0] << " at " << x;
    }
}

TEST(MonotoneCurve, GoesThroughItsPointsAndNeverTurnsBack) {
    const std::uint64_t seed = support::test_seed(11);
    std::mt19937_64 random(seed);
    std::uniform_real_distribution<double> step(0.001, 10.0);
    for (int n = 0; n < 200; ++n) {
        const double sign = n % 2 == 0 ? 1.0 : -1.0;
        std::vector<double> x{0.0};
        std::vector<double> y{5.0};
        const int points = 3 + n % 12;
        for (int i = 1; i < points; ++i) {
            x.push_back(x.back() + step(random));
            y.push_back(y.back() + sign * step(random));
        }
        const MonotoneCurve curve = must(x, y);
        for (std::size_t i = 0; i < x.size(); ++i) EXPECT_NEAR(curve.value(x[i]), y[i], 1e-12);
        double last = curve.value(x.front());
        for (int i = 1; i <= 500; ++i) {
            const double value = curve.value(x.front() + (x.back() - x.front()) * i / 500.0);
            EXPECT_GE(sign * (value - last), -1e-12);
            last = value;
        }
    }
}

TEST(MonotoneCurve, TheInverseLeadsBack) {
    for (const MonotoneCurve& curve : {must(kRpnX, kRpnY), must(kDialX, kDialY)}) {
        const double from = curve.x().front();
        const double to = curve.x().back();
        for (int i = 0; i <= 1000; ++i) {
            const double x = from + (to - from) * i / 1000.0;
            const double y = curve.value(x);
            EXPECT_NEAR(curve.value(curve.inverse(y)), y, 1e-12);
        }
    }
    // Where the curve is not nearly flat, the place itself comes back; the dial goes on beyond its
    // ends.
    const MonotoneCurve dial = must(kDialX, kDialY);
    for (double x = -3.0; x <= 101.0; x += 0.1) {
        EXPECT_NEAR(dial.inverse(dial.value(x)), x, 1e-9);
    }
}

TEST(MonotoneCurve, AStraightLineStaysOne) {
    const MonotoneCurve line = must({0.0, 1.0, 4.0, 6.0}, {1.0, 3.0, 9.0, 13.0});
    for (double x = -2.0; x < 8.0; x += 0.25) {
        EXPECT_NEAR(line.value(x), 1.0 + 2.0 * x, 1e-12);
        EXPECT_NEAR(line.slope(x), 2.0, 1e-12);
        EXPECT_NEAR(line.inverse(1.0 + 2.0 * x), x, 1e-12);
    }
}

TEST(MonotoneCurve, PointsThatMakeNoneAreNamed) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const auto refused = [](std::vector<double> x, std::vector<double> y) {
        const auto curve = MonotoneCurve::create(std::move(x), std::move(y));
        return curve ? std::string("accepted") : curve.error().message;
    };
    EXPECT_NE(refused({1, 2}, {1, 2}).find("2 points"), std::string::npos);
    EXPECT_NE(refused({1, 2, 2}, {1, 2, 3}).find("point 3: x"), std::string::npos);
    EXPECT_NE(refused({1, 2, 3}, {1, 2, 1.5}).find("point 3: y"), std::string::npos);
    EXPECT_NE(refused({1, 2, 3}, {1, 1, 2}).find("point 2: y"), std::string::npos);
    EXPECT_NE(refused({1, nan, 3}, {1, 2, 3}).find("point 2"), std::string::npos);
    EXPECT_NE(refused({1, 2, 3}, {1, 2, nan}).find("point 3"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::dial
