// Against a walk through the calendar day by day, and weekdays that can be looked up.
#include "dsp/station/repeat_rule.h"

#include <gtest/gtest.h>

#include <random>

#include "tests/support/seed.h"

namespace skedlark::station {
namespace {

UtcTime at(const char* text) { return *parse_utc(text); }

std::string next(const char* start, const Repeat& repeat, const char* from) {
    const auto time = next_time(at(start), repeat, at(from));
    return time ? utc_text(*time).substr(0, 16) : "none";
}

std::string last(const char* start, const Repeat& repeat, const char* before) {
    const auto time = last_time(at(start), repeat, at(before));
    return time ? utc_text(*time).substr(0, 16) : "none";
}

TEST(RepeatRule, Once) {
    const Repeat once = *parse_repeat("once");
    EXPECT_EQ(next("2026-11-26T18:30Z", once, "2026-11-26T18:30Z"), "2026-11-26T18:30");
    EXPECT_EQ(next("2026-11-26T18:30Z", once, "2026-11-26T18:31Z"), "none");
    EXPECT_EQ(last("2026-11-26T18:30Z", once, "2026-11-26T18:30Z"), "none");
    EXPECT_EQ(last("2026-11-26T18:30Z", once, "2027-01-01T00:00Z"), "2026-11-26T18:30");
}

TEST(RepeatRule, EveryStepFromTheFirstTime) {
    EXPECT_EQ(next("2026-11-26T18:30Z", *parse_repeat("daily"), "2026-12-01T18:31Z"),
              "2026-12-02T18:30");
    EXPECT_EQ(next("2026-11-26T18:30Z", *parse_repeat("weekly"), "2026-11-27"), "2026-12-03T18:30");
    EXPECT_EQ(next("2026-11-26T18:30Z", *parse_repeat("every 6 h"), "2026-11-27T06:30Z"),
              "2026-11-27T06:30");
    EXPECT_EQ(next("2026-11-26T18:30Z", *parse_repeat("every 90 min"), "2026-11-26T18:31Z"),
              "2026-11-26T20:00");
    EXPECT_EQ(next("2026-11-26T18:30Z", *parse_repeat("Every 2 Days"), "2026-11-27"),
              "2026-11-28T18:30");
    EXPECT_EQ(next("2026-11-26T18:30Z", *parse_repeat("daily"), "2020-01-01"), "2026-11-26T18:30")
        << "never before the first time";
    EXPECT_EQ(last("2026-11-26T18:30Z", *parse_repeat("daily"), "2026-11-28T18:30Z"),
              "2026-11-27T18:30");
}

// 2026-11-26 is a Thursday (calendar).
TEST(RepeatRule, WeekdaysKeepTheTimeOfDay) {
    const Repeat days = *parse_repeat("Mon, wed Friday");
    EXPECT_EQ(next("2026-11-26T07:15Z", days, "2026-11-01"), "2026-11-27T07:15");
    EXPECT_EQ(next("2026-11-26T07:15Z", days, "2026-11-27T07:16Z"), "2026-11-30T07:15");
    EXPECT_EQ(last("2026-11-26T07:15Z", days, "2026-11-30T07:15Z"), "2026-11-27T07:15");
    EXPECT_EQ(last("2026-11-26T07:15Z", days, "2026-11-27T00:00Z"), "none");
}

TEST(RepeatRule, LastDayAndExceptions) {
    Repeat daily = *parse_repeat("daily");
    daily.until = std::chrono::sys_days(std::chrono::year(2026) / 11 / 28);
    daily.except = {std::chrono::sys_days(std::chrono::year(2026) / 11 / 27)};
    EXPECT_EQ(next("2026-11-26T18:30Z", daily, "2026-11-26T19:00Z"), "2026-11-28T18:30");
    EXPECT_EQ(next("2026-11-26T18:30Z", daily, "2026-11-28T18:31Z"), "none");
    EXPECT_EQ(last("2026-11-26T18:30Z", daily, "2030-01-01"), "2026-11-28T18:30");
    EXPECT_EQ(last("2026-11-26T18:30Z", daily, "2026-11-28T18:30Z"), "2026-11-26T18:30");
}

// What the rule means, minute by minute where it counts: each day in turn.
TEST(RepeatRule, AgreesWithAWalkThroughTheCalendar) {
    std::mt19937_64 random(support::test_seed(11));
    const UtcTime start = at("2026-02-26T23:50Z");
    for (int run = 0; run < 200; ++run) {
        Repeat repeat;
        for (bool& day : repeat.weekdays) day = random() % 3 == 0;
        repeat.weekdays[random() % 7] = true;
        repeat.except = {std::chrono::floor<std::chrono::days>(start) +
                         std::chrono::days(random() % 20)};
        repeat.until =
            std::chrono::floor<std::chrono::days>(start) + std::chrono::days(random() % 60);
        const UtcTime from = start + std::chrono::minutes(random() % (60 * 24 * 40));
        std::optional<UtcTime> walked;
        for (UtcTime day = start; day <= UtcTime(*repeat.until) + std::chrono::days(1);
             day += std::chrono::days(1)) {
            const auto date = std::chrono::floor<std::chrono::days>(day);
            if (day >= from && date <= *repeat.until && date != repeat.except[0] &&
                repeat.weekdays[std::chrono::weekday(date).c_encoding()]) {
                walked = day;
                break;
            }
        }
        EXPECT_EQ(next_time(start, repeat, from), walked);
    }
}

TEST(RepeatRule, WhatIsNoRuleIsRefused) {
    for (const char* text :
         {"", "often", "every", "every 0 h", "every -1 h", "every 2 months", "every 367 days",
          "every 1e9 h", "month", "Mon Foo", "daily daily", "every 99999999999999999999 h"}) {
        const auto rule = parse_repeat(text);
        ASSERT_FALSE(rule) << text;
        EXPECT_NE(rule.error().message.find("Mon Wed Fri"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::station
