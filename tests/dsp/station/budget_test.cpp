// Worked by hand: a battery of 10 h receiving, 5 h sending, 2 h of charging for each hour of use.
#include "dsp/station/budget.h"

#include "tests/dsp/station/plans.h"

namespace skedlark::station {
namespace {

constexpr const char* kBattery =
    "[[battery]]\nname = \"b\"\nreceive_h = 10\nsend_h = 5\ncharge_ratio = 2\n";

// On for half an hour of warm-up and half an hour of contact, 15 min of it sending: 0.75 / 10 +
// 0.25 / 5 = 0.125 of a charge each day.
std::string daily(const std::string& more = "") {
    return contact("evening", "2026-11-20T18:30:00Z", 30,
                   "repeat = \"daily\"\nsending_min = 15\n" + more);
}

std::vector<std::optional<ContactBudget>> budgets(const std::string& text, const char* from,
                                                  std::size_t count) {
    const Plan plan = plan_of(std::string(kKit) + text);
    return budget_of(plan, at(from), due_from(plan, at(from), count));
}

TEST(Budget, RunsDownFromContactToContact) {
    const auto all = budgets(kBattery + daily(), "2026-11-26T12:00Z", 3);
    ASSERT_EQ(all.size(), 3U);
    EXPECT_NEAR(all[0]->contact.before, 1.0, 1e-12);
    EXPECT_NEAR(all[0]->start_share, 0.95, 1e-12) << "half an hour of warm-up";
    EXPECT_NEAR(all[0]->contact.after, 0.875, 1e-12);
    EXPECT_NEAR(all[2]->contact.after, 0.625, 1e-12);
    EXPECT_NEAR(all[2]->contact.charge_owed_h, 0.375 * 10 * 2, 1e-12);
}

TEST(Budget, CountsFromWhenTheChargeWasRead) {
    const std::string read =
        std::string(kBattery) + "charge_percent = 80\nas_of = 2026-11-24T12:00:00Z\n";
    // Two evenings have gone since.
    EXPECT_NEAR(budgets(read + daily(), "2026-11-26T12:00Z", 1)[0]->contact.before, 0.55, 1e-12);
}

TEST(Budget, ChargingInBetweenIsPaidIn) {
    const std::string charging =
        "[[charging]]\nbattery = \"b\"\nstart = 2026-11-20T09:00:00Z\nrepeat = \"daily\"\n"
        "duration_min = 60\n";
    // 0.125 out, an hour of 20 back: 0.05.
    const auto all = budgets(kBattery + daily() + charging, "2026-11-26T12:00Z", 2);
    EXPECT_NEAR(all[1]->contact.before, 0.925, 1e-12);
    EXPECT_FALSE(all[0]->on_charger);
}

TEST(Budget, FallbacksAreReckonedApart) {
    const auto all = budgets(
        kBattery + daily("[[contact.fallback]]\nafter_min = 60\nduration_min = 30\nreceive_khz = "
                         "3600\n"),
        "2026-11-26T12:00Z", 2);
    // From 19:00 on to 20:00, 15 min of it sending: 0.75 / 10 + 0.25 / 5.
    EXPECT_NEAR(all[0]->after_fallbacks_share, 0.75, 1e-12);
    EXPECT_NEAR(all[1]->contact.before, 0.875, 1e-12) << "the next day does not pay for them";
}

TEST(Budget, TheSetIsNotSwitchedOnTwice) {
    // The second begins ten minutes after the first one's end, within its own warm-up.
    const auto all =
        budgets(kBattery + daily() + contact("late", "2026-11-26T19:10:00Z", 20, "sending_min = 0"),
                "2026-11-26T12:00Z", 2);
    EXPECT_NEAR(all[1]->contact.before - all[1]->contact.after, 0.5 / 10.0, 1e-12);
}

TEST(Budget, OnTheChargerWhileNeeded) {
    const std::string charging =
        "[[charging]]\nbattery = \"b\"\nstart = 2026-11-26T18:50:00Z\nduration_min = 60\n";
    EXPECT_TRUE(budgets(kBattery + daily() + charging, "2026-11-26T12:00Z", 1)[0]->on_charger);
}

TEST(Budget, WithoutABatteryThereIsNone) {
    EXPECT_FALSE(budgets(daily(), "2026-11-26T12:00Z", 1)[0]);
    EXPECT_TRUE(budget_of(plan_of(std::string(kKit) + daily()), at("2026-11-26"), {}).empty());
}

}  // namespace
}  // namespace skedlark::station
