#include "dsp/dial/search_plan.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::dial {
namespace {

// 20 kHz to every division, so that effort is the same everywhere.
Dial even_dial(double sd_div) {
    Receiver set = test::mountain_set();
    set.reading_sd_div = 0.001;
    set.bands = {{.name = "E",
                  .from_mhz = 2.9,
                  .to_mhz = 5.1,
                  .points = {{0, 3.0}, {25, 3.5}, {50, 4.0}, {75, 4.5}, {100, 5.0}},
                  .chart_sd_div = sd_div}};
    return *Dial::create(set, "E");
}

// Exponential detection: the chance grows with the dwell as 1 - exp(-effort).
constexpr double kEffortHz = 300.0;
ChanceByRate exponential() {
    return *ChanceByRate::create(
        DetectionModel::from([](double rate, double) { return -std::expm1(-kEffortHz / rate); }),
        {});
}

PlaceMap map_of(double sd_div) {
    const Dial dial = even_dial(sd_div);
    return *PlaceMap::create(dial, *dial.setting(4.0));
}

// Koopman, Oper. Res. 5 (1957) 613-626: for a normal prior and exponential detection the best effort
// is a parabola (a^2 - x^2) / (2 sd^2) where it is above 0; the chance is then
// erf(a / (sd sqrt 2)) - 2 a density(a).
double koopman_chance(double sd, double total_effort) {
    const double a = std::cbrt(1.5 * sd * sd * total_effort);
    const double density =
        std::exp(-0.5 * a * a / (sd * sd)) / (sd * std::sqrt(2.0 * std::numbers::pi));
    return std::erf(a / (sd * std::numbers::sqrt2)) - 2.0 * a * density;
}

// Effort of a sweep over one division at one division a minute.
double effort_of(double seconds) { return kEffortHz / (20000.0 / 60.0) * seconds / 60.0; }

TEST(SearchPlan, GreedyIsWithinOnePerCentOfKoopmansClosedForm) {
    for (const double window_s : {60.0, 120.0, 200.0}) {
        // At the fastest a stretch is a small step of effort, and setting the dial costs nothing.
        const SearchConfig config{.window_s = window_s,
                                  .setting_s = 0.0,
                                  .slowest_div_per_min = 20.0,
                                  .fastest_div_per_min = 20.0,
                                  .shortest_div = 0.25,
                                  .most_stretches = 1000};
        const auto plan = plan_search(map_of(1.5), exponential(), config);
        ASSERT_TRUE(plan.ok()) << plan.error().message;
        const double best = koopman_chance(1.5, effort_of(plan->seconds));
        EXPECT_GT(plan->seconds, 0.95 * std::min(window_s, 150.0));
        EXPECT_NEAR(plan->chance, best, 0.01 * best) << window_s;
        EXPECT_LE(plan->chance, best * 1.002) << window_s;
    }
}

TEST(SearchPlan, SettingTheDialCostsButStaysNearTheBest) {
    const SearchConfig config{.window_s = 240.0, .setting_s = 4.0};
    const auto plan = plan_search(map_of(1.5), exponential(), config);
    const double best = koopman_chance(1.5, effort_of(240.0));
    EXPECT_LT(plan->chance, best);
    EXPECT_GT(plan->chance, 0.85 * best);
    EXPECT_LE(plan->seconds, 240.0 + 1e-6);
}

TEST(SearchPlan, TheLikeliestPlaceComesFirst) {
    const auto next = next_stretch(map_of(1.5), exponential(), {.window_s = 60.0});
    ASSERT_TRUE(next.ok() && next->has_value());
    EXPECT_LT((*next)->from_div, 50.0);
    EXPECT_GT((*next)->to_div, 50.0);
    EXPECT_LE((*next)->seconds, 60.0 + 1e-6);
}

TEST(SearchPlan, WhatWasSweptInVainIsLeftForLater) {
    PlaceMap map = map_of(1.5);
    // Sensitive where it was heard: above 50 nothing is left worth looking for.
    const auto sure = *ChanceByRate::create(
        DetectionModel::from([](double rate, double) { return rate < 2000.0 ? 0.98 : 0.0; }), {});
    ASSERT_TRUE(map.heard({50.0, 60.0, 4.0, 0.0, {}}, sure).ok());
    const auto next = next_stretch(map, sure, {.window_s = 40.0});
    ASSERT_TRUE(next.ok() && next->has_value());
    EXPECT_LT((*next)->to_div, 50.2);
}

TEST(SearchPlan, AWindowTooShortForAnyStretchGivesNone) {
    const auto next = next_stretch(map_of(1.5), exponential(), {.window_s = 2.0});
    ASSERT_TRUE(next.ok());
    EXPECT_FALSE(next->has_value());
    const auto deaf =
        *ChanceByRate::create(DetectionModel::from([](double, double) { return 0.0; }), {});
    EXPECT_TRUE(plan_search(map_of(1.5), deaf, {})->stretches.empty());
}

TEST(SearchPlan, ChanceOfThePlanIsThatOfTheMapAfterIt) {
    PlaceMap map = map_of(1.0);
    const ChanceByRate chance = exponential();
    const auto plan = plan_search(map, chance, {.window_s = 300.0});
    for (const Stretch& s : plan->stretches) {
        ASSERT_TRUE(map.heard({s.from_div, s.to_div, s.div_per_min, 0.0, {}}, chance).ok());
    }
    EXPECT_NEAR(map.chance_so_far(), plan->chance, 1e-9);
}

TEST(SearchPlan, BadSettingsAreNamed) {
    const double nan = std::nan("");
    for (const SearchConfig& wrong :
         {SearchConfig{.window_s = nan}, SearchConfig{.setting_s = -1.0},
          SearchConfig{.run_on_div = nan}, SearchConfig{.slowest_div_per_min = 0.0},
          SearchConfig{.slowest_div_per_min = 40.0}, SearchConfig{.shortest_div = nan}}) {
        const auto plan = plan_search(map_of(1.5), exponential(), wrong);
        ASSERT_FALSE(plan.ok());
        EXPECT_NE(plan.error().message.find("allowed"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::dial
