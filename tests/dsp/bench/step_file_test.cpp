#include "dsp/bench/step_file.h"

#include <gtest/gtest.h>

namespace skedlark::bench {
namespace {

TEST(StepFile, StepsOfAGenerator) {
    const auto steps = parse_generator_steps(
        "from_s,to_s,db,side\n# weak\n0,2,-60,above\r\n2.5, 4, -40 ,below,455.5\n", "s.csv");
    ASSERT_TRUE(steps.ok()) << steps.error().message;
    ASSERT_EQ(steps->size(), 2U);
    EXPECT_EQ((*steps)[0].generator_db, -60.0);
    EXPECT_EQ((*steps)[1].at.from_s, 2.5);
    EXPECT_EQ((*steps)[1].side, BeatSide::below);
    EXPECT_EQ((*steps)[1].generator_hz, 455500.0);
}

TEST(StepFile, ALineThatIsNoneIsNamed) {
    for (const char* line :
         {"0,2,-60", "0,2,-60,left", "0,2,nan,above", "a,2,3,above", "0,2,-60,above,x"}) {
        const auto steps = parse_generator_steps(std::string("0,1,0,above\n") + line, "s.csv");
        ASSERT_FALSE(steps.ok()) << line;
        EXPECT_EQ(steps.error().message.rfind("s.csv:2: '", 0), 0U) << steps.error().message;
    }
    EXPECT_FALSE(parse_check_points("5.0\n", "p.csv").ok());
    EXPECT_FALSE(parse_check_points("5.0,50,sideways\n", "p.csv").ok());
}

TEST(StepFile, CheckPointsStretchesAndMarks) {
    const auto points = parse_check_points("mhz,div,from\n5,56.4,below\n10,33\n", "p.csv");
    ASSERT_TRUE(points.ok());
    EXPECT_EQ((*points)[0].approach, Approach::from_below);
    EXPECT_EQ((*points)[1].approach, Approach::not_said);
    EXPECT_EQ(parse_stretch("--touched", "20.5-31")->to_s, 31.0);
    for (const char* text : {"20", "31-20", "a-b", "", "-"})
        EXPECT_FALSE(parse_stretch("--touched", text).ok()) << text;
    EXPECT_EQ(parse_supply("--supply", "600=low")->supply, Supply::low);
    for (const char* text : {"600", "600=", "=low", "x=low", "600=loud"})
        EXPECT_FALSE(parse_supply("--supply", text).ok()) << text;
}

}  // namespace
}  // namespace skedlark::bench
