// Figures and sentences of the sensitivity: levels with the generator's and the chain's share, dead
// spots, the image.
#include <gtest/gtest.h>

#include <algorithm>

#include "dsp/bench/sensitivity.h"

namespace skedlark::bench {
namespace {

SeriesPoint point_at(double mhz, double dbm) {
    SeriesPoint point;
    point.mhz = mhz;
    point.for_10db = LevelCurve{.level_dbm = {dbm, 0.3}, .slope = {1.0, 0.02}, .points = 3};
    point.strongest_dbm = dbm + 10.0;
    point.noise_power = 1e-4;
    point.steps.push_back({{.dbm = dbm}, {10.0, 0.1}, {}});
    return point;
}

const Measurement* find(const Report& report, const std::string& name) {
    const auto found = std::find_if(report.measurements.begin(), report.measurements.end(),
                                    [&](const Measurement& m) { return m.name == name; });
    return found == report.measurements.end() ? nullptr : &*found;
}

TEST(SensitivityReport, TheGeneratorsShareIsInIt) {
    Series series;
    series.points.push_back(point_at(3.5, -106.9897));
    const auto report = series_report(series, {}, nullptr, 0.4, nullptr);
    ASSERT_TRUE(report);
    EXPECT_NEAR(find(*report, "level_for_10db_dbm")->figure.uncertainty_95, 0.5, 1e-9);
    // One microvolt; 0.5 dB of it are 5.76 %.
    EXPECT_NEAR(find(*report, "level_for_10db_microvolt")->figure.value, 1.0, 1e-3);
    EXPECT_NEAR(find(*report, "level_for_10db_microvolt")->figure.uncertainty_95, 0.0576, 1e-3);
}

TEST(SensitivityReport, TheImageIsTheDifferenceOfTwoLevels) {
    Series wanted, image;
    wanted.points.push_back(point_at(3.5, -110.0));
    image.points.push_back(point_at(4.41, -62.0));
    const auto report = series_report(wanted, {}, nullptr, 1.0, &image);
    ASSERT_TRUE(report);
    EXPECT_NEAR(find(*report, "image_db")->figure.value, 48.0, 1e-9);
    EXPECT_NEAR(find(*report, "image_db")->figure.uncertainty_95, 0.3 * std::sqrt(2.0), 1e-9);
    // Never heard: at least so far down.
    image.points[0].for_10db.reset();
    image.points[0].strongest_dbm = -40.0;
    image.points[0].steps[0].ratio_db = {0.1, 0.2};
    const auto bound = series_report(wanted, {}, nullptr, 1.0, &image);
    ASSERT_TRUE(bound);
    EXPECT_EQ(find(*bound, "image_db")->known, Known::at_least);
    EXPECT_NEAR(find(*bound, "image_db")->figure.value, 69.7, 1e-9);
}

TEST(SensitivityReport, DeadSpotsAndSpread) {
    Series series;
    for (const double dbm : {-110.0, -111.0, -101.0, -112.0})
        series.points.push_back(
            point_at(3.0 + 0.1 * static_cast<double>(series.points.size()), dbm));
    series.points[2].dead = true;
    const auto report = series_report(series, {}, nullptr, 0.0, nullptr);
    ASSERT_TRUE(report);
    EXPECT_EQ(find(*report, "dead_spots")->figure.value, 1.0);
    EXPECT_NEAR(find(*report, "spread_db")->figure.value, 11.0, 1e-9);
    EXPECT_TRUE(
        std::any_of(report->remarks.begin(), report->remarks.end(), [](const std::string& remark) {
            return remark.find("Dead spot at 3.2 MHz") != std::string::npos;
        }));
}

TEST(SensitivityReport, TheChainIsNamed) {
    OnOff measured;
    measured.ratio_db = {10.0, 0.1};
    measured.noise_power = 0.5e-4;  // -40 dBFS
    Chain chain;
    chain.name = "lead";
    chain.sample_rate_hz = 8000.0;
    chain.band = {50.0, 4000.0};
    chain.noise_dbfs = {-50.0, 0.1};
    const Report report = on_off_report(measured, {.band = {50.0, 4000.0}}, &chain);
    EXPECT_EQ(report.chain, "lead");
    // A chain 10 dB below adds 0.458 dB to the noise.
    EXPECT_NEAR(find(report, "s_plus_n_over_n_db")->figure.uncertainty_95, 0.558, 0.002);
}

}  // namespace
}  // namespace skedlark::bench
