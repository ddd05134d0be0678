// The picture of a chart is what the dial says, whatever the number of points it is drawn with.
#include "gui/plan/chart_model.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::gui {
namespace {

TEST(ChartModel, WithoutKnownStationsTheChartIsTakenAsItStands) {
    const auto picture = chart_picture(test::mountain_set(), "2", {}, 300);
    ASSERT_EQ(picture.problem, "");
    EXPECT_EQ(picture.curve.size(), 300U);
    ASSERT_EQ(picture.points.size(), 7U);
    EXPECT_EQ(picture.residuals.size(), 5U) << "none at both ends";
    EXPECT_DOUBLE_EQ(picture.points[3].y, 4.7);
    for (const XY& at : picture.correction) EXPECT_NEAR(at.y, 0.0, 1e-12);
    // The reading's 0.1 and the chart's 0.2 divisions: 1.96 standard deviations (normal tables).
    EXPECT_NEAR(picture.high95[150].y, 1.96 * std::hypot(0.1, 0.2), 1e-3);
    EXPECT_NE(picture.words.find("no known station"), std::string::npos);
}

TEST(ChartModel, AKnownStationMovesCurveAndBand) {
    const auto set = test::mountain_set();
    const auto picture = chart_picture(set, "2", {{4.7, 46.0}, {9.0, 30.0}}, 100);
    ASSERT_EQ(picture.problem, "");
    ASSERT_EQ(picture.known.size(), 1U) << "9 MHz is not on this band";
    EXPECT_NEAR(picture.known[0].y, 1.0, 1e-9) << "4.7 MHz stands at 45 on the chart";
    for (const XY& at : picture.correction) EXPECT_NEAR(at.y, 1.0, 1e-9);
    for (std::size_t i = 0; i < 100; ++i) {
        EXPECT_LT(picture.low95[i].y, picture.correction[i].y);
        EXPECT_GT(picture.high95[i].y, picture.correction[i].y);
    }
    EXPECT_NEAR(picture.points[3].x, 46.0, 1e-9);
    EXPECT_NE(picture.words.find("+1.00"), std::string::npos) << picture.words;
}

TEST(ChartModel, ABandThatIsNotThereIsAProblem) {
    EXPECT_NE(chart_picture(test::mountain_set(), "9", {}, 100).problem, "");
}

TEST(ChartModel, KnownStationsAreReadAsTyped) {
    EXPECT_EQ(read_known("5=57.2")->div, 57.2);
    EXPECT_EQ(read_known("5 57.2")->mhz, 5.0);
    EXPECT_EQ(read_known("5 = 57.2").ok(), false);
    for (const char* wrong : {"", "5", "5=", "=57", "five=57"}) {
        const auto read = read_known(wrong);
        ASSERT_FALSE(read) << wrong;
        EXPECT_NE(read.error().message.find("allowed: MHz=division"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::gui
