// The example plan through the model: what is due, where it stands on the time line.
#include "gui/plan/plan_model.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "dsp/dial/receiver_file.h"
#include "dsp/station/plan_reader.h"

namespace skedlark::gui {
namespace {

// Thursday; the evening contact is at 18:30, "saddle" on Friday at 07:15, charging at 09:00.
const UtcTime kNow = *parse_utc("2026-11-26T17:00Z");

PlanModel example(bool with_receiver = true) {
    PlanModel model;
    model.set_plan(*station::read_plan(EXAMPLE_PLAN));
    if (with_receiver) model.set_receiver(*dial::read_receiver(EXAMPLE_RECEIVER), {});
    model.update(kNow);
    return model;
}

std::vector<TimeBar> bars_of(const PlanModel& model, BarKind kind) {
    std::vector<TimeBar> found;
    for (const TimeBar& bar : model.time_line().bars) {
        if (bar.kind == kind) found.push_back(bar);
    }
    return found;
}

TEST(PlanModel, TheSoonestContactComesFirst) {
    const PlanModel model = example();
    ASSERT_EQ(model.cards().size(), kCardsShown);
    EXPECT_EQ(model.cards()[0].contact, "evening");
    EXPECT_EQ(model.cards()[1].contact, "saddle");
    EXPECT_TRUE(
        std::is_sorted(model.cards().begin(), model.cards().end(),
                       [](const auto& a, const auto& b) { return a.leg.start < b.leg.start; }));
    EXPECT_EQ(model.find("saddle", *parse_utc("2026-11-27T07:15Z")), 1U);
    EXPECT_FALSE(model.find("saddle", *parse_utc("2026-11-26T07:15Z")));
}

TEST(PlanModel, TheTimeLineHasEachThingAtItsPlace) {
    const PlanModel model = example();
    const auto contacts = bars_of(model, BarKind::contact);
    ASSERT_EQ(contacts.size(), 2U);
    EXPECT_NEAR(contacts[0].from, 1.5 / 24, 1e-9);
    EXPECT_NEAR(contacts[0].to, (1.5 + 20.0 / 60) / 24, 1e-9);
    EXPECT_EQ(contacts[0].label, "evening QXB2");
    EXPECT_EQ(contacts[0].card, 0U);
    EXPECT_NEAR(contacts[1].from, 14.25 / 24, 1e-9);
    const auto warm_up = bars_of(model, BarKind::warm_up);
    ASSERT_EQ(warm_up.size(), 2U);
    EXPECT_NEAR(warm_up[0].to - warm_up[0].from, 25.0 / 60 / 24, 1e-9);
    const auto fallbacks = bars_of(model, BarKind::fallback);
    ASSERT_EQ(fallbacks.size(), 2U);
    EXPECT_NEAR(fallbacks[1].from, 3.0 / 24, 1e-9) << "90 min after the start";
    const auto charging = bars_of(model, BarKind::charging);
    ASSERT_EQ(charging.size(), 1U);
    EXPECT_NEAR(charging[0].from, 16.0 / 24, 1e-9);
    EXPECT_NEAR(charging[0].to, 18.5 / 24, 1e-9);
}

TEST(PlanModel, WhatRunsIsCutAtNow) {
    PlanModel model = example();
    model.update(*parse_utc("2026-11-26T18:40Z"));
    const auto contacts = bars_of(model, BarKind::contact);
    ASSERT_GE(contacts.size(), 2U);
    EXPECT_EQ(contacts[0].from, 0.0);
    EXPECT_NEAR(contacts[0].to, 10.0 / 60 / 24, 1e-9);
    EXPECT_EQ(model.cards()[0].stage, station::Stage::running);
    model.update(*parse_utc("2026-11-27T10:00Z"));
    EXPECT_EQ(bars_of(model, BarKind::charging)[0].from, 0.0);
}

TEST(PlanModel, TheTicksAreFullHoursWithLocalTime) {
    const PlanModel model = example();
    const auto& ticks = model.time_line().ticks;
    ASSERT_EQ(ticks.size(), 8U);
    EXPECT_EQ(ticks[0].utc, "18:00");
    EXPECT_EQ(ticks[0].local, "19:00") << "Vienna in November";
    EXPECT_NEAR(ticks[0].at, 1.0 / 24, 1e-9);
    EXPECT_TRUE(ticks[2].midnight);
    EXPECT_EQ(model.time_line().zone, "CET");
}

TEST(PlanModel, WithoutAReceiverTheDialIsNotKnown) {
    EXPECT_FALSE(example(false).cards()[0].leg.dial);
    const PlanModel model = example();
    ASSERT_TRUE(model.cards()[0].leg.dial);
    EXPECT_EQ(model.cards()[0].leg.dial->band, "2");
    // The chart has 3.345 MHz at 25 and 3.614 MHz at 36.
    EXPECT_GT(model.cards()[0].leg.dial->division, 25.0);
    EXPECT_LT(model.cards()[0].leg.dial->division, 36.0);
}

TEST(PlanModel, KnownStationsMoveTheCard) {
    PlanModel model = example();
    const double before = model.cards()[0].leg.dial->division;
    model.set_receiver(*dial::read_receiver(EXAMPLE_RECEIVER), {{3.614, 36.5}});
    model.update(kNow);
    EXPECT_NEAR(model.cards()[0].leg.dial->division, before + 0.5, 1e-6);
}

TEST(PlanModel, AZoneThatIsNotKnownIsSaidAndTheTimesStayInUtc) {
    PlanModel model;
    auto plan = *station::read_plan(EXAMPLE_PLAN);
    plan.zone = "Europe/Nowhere";
    model.set_plan(plan);
    model.update(kNow);
    EXPECT_NE(model.problem().find("Europe/Nowhere"), std::string::npos);
    ASSERT_FALSE(model.cards().empty());
    EXPECT_FALSE(model.cards()[0].leg.local_start);
}

TEST(PlanModel, ConflictsOfTheNextDaysAreFound) {
    PlanModel model;
    auto plan = *station::read_plan(EXAMPLE_PLAN);
    plan.batteries[0].charge = 0.01;
    plan.batteries[0].as_of = kNow;
    plan.charging.clear();
    model.set_plan(plan);
    model.update(kNow);
    const auto& found = model.conflicts();
    EXPECT_TRUE(std::any_of(found.begin(), found.end(), [](const auto& conflict) {
        return conflict.kind == station::ConflictKind::battery_flat;
    }));
}

TEST(PlanModel, NoPlanHasNothing) {
    PlanModel model;
    model.update(kNow);
    EXPECT_FALSE(model.has_plan());
    EXPECT_TRUE(model.cards().empty());
    EXPECT_TRUE(model.time_line().bars.empty());
}

}  // namespace
}  // namespace skedlark::gui
