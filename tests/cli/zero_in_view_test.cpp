#include "cli/zero_in_view.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::cli {
namespace {

TEST(ZeroInView, SaysThatNothingIsHeard) {
    const auto dial = *dial::Dial::create(test::mountain_set(), "2");
    const auto guide = watch::ZeroInGuide::create(dial, 61.2, {});
    ASSERT_TRUE(guide.ok());
    EXPECT_EQ(zero_in_line(*guide), "nothing heard yet: about 61.20, turn slowly");
}

TEST(ZeroInView, JsonCountsFromTheInputsStart) {
    const watch::ZeroInTold told{1.5, 812.34, {810.0, 110.0, 0.00412, dial::Turn::up, true}, false};
    const auto json = nlohmann::json::parse(zero_in_json({told}, 60.0));
    EXPECT_EQ(json.at("at_s"), 61.5);
    EXPECT_EQ(json.at("pitch_hz"), 812.3);
    EXPECT_EQ(json.at("turn"), "up");
    EXPECT_EQ(json.at("turn_div"), 0.0041);
    EXPECT_EQ(zero_in_json({}, 60.0), "");
}

TEST(ZeroInView, MarksAreAskedForByTheirDivision) {
    dial::PressedMarks marks(40.0, 42.0);
    EXPECT_EQ(marks_prompt(marks), "press space at 40");
    EXPECT_FALSE(press(marks, 'x', 0.5));
    EXPECT_FALSE(press(marks, '\x7f', 0.5));
    EXPECT_TRUE(press(marks, ' ', 1.0));
    EXPECT_TRUE(press(marks, ' ', 2.0));
    EXPECT_TRUE(press(marks, '\b', 2.5));
    EXPECT_TRUE(press(marks, '\n', 31.0));
    EXPECT_EQ(marks_prompt(marks), "press space at 42   last 41 at 0:31, 2.0 divisions a minute");
    EXPECT_TRUE(press(marks, ' ', 61.0));
    EXPECT_EQ(marks_prompt(marks), "division 42 was the last");
}

}  // namespace
}  // namespace skedlark::cli
