#include "gui/bench/bench_fields.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

TEST(BenchFields, NumbersAreEmptyRightOrToldWithWhatIsAllowed) {
    EXPECT_FALSE(number_in({{"a", "  "}}, "a", "A", 0, 1)->has_value());
    EXPECT_FALSE(number_in({}, "a", "A", 0, 1)->has_value());
    EXPECT_EQ(**number_in({{"a", " 0.5 "}}, "a", "A", 0, 1), 0.5);
    const auto wrong = number_in({{"a", "7"}}, "a", "A", 0, 1);
    ASSERT_FALSE(wrong);
    EXPECT_EQ(wrong.error().message, "A: '7', allowed: 0 to 1");
    EXPECT_FALSE(number_in({{"a", "1,5"}}, "a", "A", 0, 9).ok());
}

TEST(BenchFields, LevelsBeginWithTheGeneratorOffAndRise) {
    const auto levels = levels_of("-125, -120 -115", "Levels, dBm");
    ASSERT_TRUE(levels) << levels.error().message;
    ASSERT_EQ(levels->size(), 4U);
    EXPECT_FALSE((*levels)[0].dbm);
    EXPECT_EQ((*levels)[3].dbm, -115.0);
    const auto said = [](const char* text) {
        const auto wrong = levels_of(text, "Levels, dBm");
        return wrong ? "" : wrong.error().message;
    };
    EXPECT_NE(said("").find("no generator level is named"), std::string::npos);
    EXPECT_EQ(
        said("-120 -125"),
        "Levels, dBm: levels must rise from step to step: -125.00 dBm stands behind -120.00 dBm");
    EXPECT_NE(said("-120 -120").find("must rise"), std::string::npos);
    EXPECT_NE(said("-120 loud").find("'loud'"), std::string::npos);
    EXPECT_NE(said("-120 99").find("allowed"), std::string::npos);
}

TEST(BenchFields, StepsOfAGenerator) {
    EXPECT_EQ(*step_levels_of("3x0, 2x20 -5", "Steps"), (std::vector<double>{0, 0, 0, 20, 20, -5}));
    EXPECT_TRUE(step_levels_of("", "Steps")->empty());
    EXPECT_FALSE(step_levels_of("ax0", "Steps").ok());
    EXPECT_FALSE(step_levels_of("201x0", "Steps").ok());
    EXPECT_FALSE(step_levels_of("150x0 150x0", "Steps").ok());
    EXPECT_EQ(*points_mhz_of("3.5; 3.6"), (std::vector<double>{3.5, 3.6}));
    EXPECT_FALSE(points_mhz_of("3.5 MHz").ok());
}

TEST(BenchFields, CheckPoints) {
    const auto points = check_points_of("5 56.4 below; 5 56.6 above;");
    ASSERT_TRUE(points) << points.error().message;
    ASSERT_EQ(points->size(), 2U);
    EXPECT_EQ((*points)[1].div, 56.6);
    EXPECT_EQ((*points)[1].approach, bench::Approach::from_above);
    EXPECT_NE(check_points_of("").error().message.find("none is named"), std::string::npos);
    EXPECT_NE(check_points_of("5 sofa").error().message.find("Check points"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::gui
