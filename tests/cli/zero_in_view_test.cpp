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

TEST(ZeroInView, AStepIsALineOfJson) {
    watch::ZeroInStep step;
    step.glance = {.at_s = 2.5, .pitch_hz = 812.34, .pitch_sd_hz = 2.0, .look_s = 0.5};
    step.advice.pitch_hz = 812.34;
    step.advice.off_hz = 112.34;
    step.advice.turn = dial::Turn::up;
    step.advice.turn_div = 0.00374;
    const auto json = nlohmann::json::parse(zero_in_json({step}, 60.0));
    EXPECT_EQ(json.at("event"), "zero_in");
    EXPECT_EQ(json.at("at_s"), 62.5);
    EXPECT_EQ(json.at("pitch_hz"), 812.3);
    EXPECT_EQ(json.at("off_hz"), 112.3);
    EXPECT_EQ(json.at("turn"), "up");
    EXPECT_EQ(json.at("turn_div"), 0.0037);
    EXPECT_EQ(json.at("sure"), false);
    EXPECT_EQ(json.at("held"), false);
}

}  // namespace
}  // namespace skedlark::cli
