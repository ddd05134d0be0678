#include "dsp/bench/dial_check.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "dsp/dial/chart.h"
#include "dsp/dial/receiver_file.h"
#include "tests/dsp/dial/mountain_set.h"
#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

constexpr double kMhz[] = {3.9, 4.3, 4.8, 5.0, 5.5, 6.2};

// Check points where a dial that slipped by `offset` and reads with this error finds them.
std::vector<CheckPoint> points_of(double offset, double sd_div, double backlash,
                                  std::uint64_t seed) {
    const auto chart = dial::BandChart::create(test::mountain_set().bands[1]);
    std::mt19937_64 random(seed);
    std::normal_distribution<double> error(0.0, 1.0);
    std::vector<CheckPoint> points;
    for (const double mhz : kMhz) {
        const double div = chart->div_at(mhz) + offset;
        points.push_back(
            {mhz, div - 0.5 * backlash + sd_div * error(random), Approach::from_below});
        points.push_back(
            {mhz, div + 0.5 * backlash + sd_div * error(random), Approach::from_above});
    }
    return points;
}

TEST(DialCheck, OffsetIsFoundAndTheChartMoved) {
    const auto set = test::mountain_set();
    const auto points = points_of(1.5, 0.0, 0.0, 1);
    const auto check = check_dial(set, "2", points, {});
    ASSERT_TRUE(check.ok()) << check.error().message;
    EXPECT_NEAR(check->offset_div.value, 1.5, 1e-9);
    EXPECT_FALSE(check->within);
    EXPECT_TRUE(check->within_once_corrected);
    EXPECT_NEAR(check->points[0].error_div.value, 1.5, 1e-9);
    // A frequency set by the chart comes out lower: the station stands 1.5 divisions above its mark.
    EXPECT_LT(check->points[0].error_khz, 0.0);
    const auto moved = corrected(set, "2", check->correction);
    ASSERT_TRUE(moved.ok()) << moved.error().message;
    const auto again = check_dial(*moved, "2", points, {});
    ASSERT_TRUE(again.ok());
    EXPECT_NEAR(again->offset_div.value, 0.0, 1e-6);
    EXPECT_TRUE(again->within);
    // As a file and back.
    EXPECT_TRUE(dial::parse_receiver(dial::receiver_toml(*moved), "moved").ok());
}

TEST(DialCheck, BacklashIsTrueNineteenTimesInTwenty) {
    const std::uint64_t seed = support::test_seed(3);
    int inside = 0;
    constexpr int kRuns = 1000;
    for (int n = 0; n < kRuns; ++n) {
        const auto check =
            check_dial(test::mountain_set(), "2",
                       points_of(0.3, 0.1, 0.25, support::seed_for_part(seed, n)), {});
        ASSERT_TRUE(check.ok());
        ASSERT_TRUE(check->backlash_div.has_value());
        if (std::abs(check->backlash_div->value - 0.25) <= check->backlash_div->uncertainty_95)
            ++inside;
    }
    EXPECT_GT(inside / double{kRuns}, 0.93);
    EXPECT_LT(inside / double{kRuns}, 0.97);
}

TEST(DialCheck, BadPointsAreNamed) {
    const auto set = test::mountain_set();
    EXPECT_FALSE(check_dial(set, "2", {}, {}).ok());
    EXPECT_FALSE(check_dial(set, "9", points_of(0.0, 0.0, 0.0, 1), {}).ok());
    EXPECT_FALSE(check_dial(set, "2", {{5.0, std::nan(""), Approach::not_said}}, {}).ok());
    const auto outside = check_dial(set, "2", {{9.0, 50.0, Approach::not_said}}, {});
    ASSERT_FALSE(outside.ok());
    EXPECT_NE(outside.error().message.find("outside the chart"), std::string::npos);
    DialCheckConfig wrong;
    wrong.within_div = 0.0;
    EXPECT_FALSE(check_dial(set, "2", points_of(0.0, 0.0, 0.0, 1), wrong).ok());
    // One way only: no backlash is told.
    EXPECT_FALSE(
        check_dial(set, "2", {{5.0, 57.0, Approach::from_below}}, {})->backlash_div.has_value());
}

}  // namespace
}  // namespace skedlark::bench
