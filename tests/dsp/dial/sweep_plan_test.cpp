#include "dsp/dial/sweep_plan.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::dial {
namespace {

ChanceByRate falling() {
    return *ChanceByRate::create(
        DetectionModel::from([](double rate, double) { return std::exp(-rate / 5000.0); }), {});
}
Dial dial_of() { return *Dial::create(test::mountain_set(), "2"); }

TEST(SweepPlan, TwoDivisionsEachSideUnlessAChanceIsAskedFor) {
    const Dial dial = dial_of();
    const Setting setting = *dial.setting(4.35);  // 30 divisions
    const auto usual = plan_sweep(dial, setting, falling());
    ASSERT_TRUE(usual.ok()) << usual.error().message;
    EXPECT_NEAR(usual->low_div, 28.0, 1e-9);  // two divisions: common practice, no source
    EXPECT_NEAR(usual->high_div, 32.0, 1e-9);
    const auto asked = plan_sweep(dial, setting, falling(), {.limits_chance = 0.9});
    // 1.6449: two-sided 90 % of a normal, any statistics table.
    EXPECT_NEAR(asked->high_div - 30.0, 1.6449 * setting.sd_div, 1e-4);
    EXPECT_NEAR(asked->inside_chance, 0.9, 1e-9);
}

TEST(SweepPlan, SafeSpeedAndTimeFollowFromTheChance) {
    const Dial dial = dial_of();
    const auto plan = plan_sweep(dial, *dial.setting(4.35), falling(), {.noticed_chance = 0.9});
    ASSERT_TRUE(plan->div_per_min.has_value());
    // exp(-rate / 5000) = 0.9; the rate is met where a division holds most kilohertz: at 32 here.
    const double rate = -5000.0 * std::log(0.9);
    EXPECT_NEAR(*plan->rate_hz_per_s, rate, 3.0);
    EXPECT_NEAR(*plan->div_per_min, 60.0 * rate / (1000.0 * dial.khz_per_div(32.0)), 0.02);
    // 3000 Hz of audio at either end are run over as well.
    EXPECT_NEAR(plan->run_on_div, 3.0 / dial.khz_per_div(30.0), 1e-9);
    EXPECT_NEAR(*plan->sweep_min * *plan->div_per_min, 4.0 + 2.0 * plan->run_on_div, 1e-9);
    EXPECT_NEAR(plan->noticed_chance, 0.9, 1e-3);
}

TEST(SweepPlan, NeverFasterThanAHandNorBeyondTheScale) {
    const Dial dial = dial_of();
    const auto loud =
        *ChanceByRate::create(DetectionModel::from([](double, double) { return 1.0; }), {});
    EXPECT_NEAR(*plan_sweep(dial, *dial.setting(4.35), loud)->div_per_min, 30.0, 1e-9);
    const auto edge = plan_sweep(dial, *dial.setting(3.86), loud, {.each_side_div = 10.0});
    EXPECT_EQ(edge->low_div, 0.0);
}

TEST(SweepPlan, AStationTooWeakHasNoSpeed) {
    const auto weak =
        *ChanceByRate::create(DetectionModel::from([](double, double) { return 0.1; }), {});
    const Dial dial = dial_of();
    const auto plan = plan_sweep(dial, *dial.setting(4.35), weak);
    EXPECT_FALSE(plan->div_per_min || plan->sweep_min);
    EXPECT_NEAR(plan->high_div, 32.0, 1e-9);
}

TEST(SweepPlan, BadWishesAreNamed) {
    const Dial dial = dial_of();
    const double nan = std::nan("");
    for (const SweepWish& wrong :
         {SweepWish{.limits_chance = 1.0}, SweepWish{.limits_chance = nan},
          SweepWish{.each_side_div = -2.0}, SweepWish{.noticed_chance = 0.0},
          SweepWish{.fastest_div_per_min = nan}}) {
        const auto plan = plan_sweep(dial, *dial.setting(4.35), falling(), wrong);
        ASSERT_FALSE(plan.ok());
        EXPECT_NE(plan.error().message.find("allowed"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::dial
