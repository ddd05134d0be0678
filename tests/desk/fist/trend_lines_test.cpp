#include "gui/fist/trend_lines.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

std::vector<log::WeekOfSending> two_weeks() {
    log::WeekOfSending first;
    first.monday = *parse_utc("2026-11-16");
    first.attempts = 4;
    first.score = 70.0;
    first.faults = {{"gaps_closed", 3}};
    first.characters["Q"] = {20.0, 5.0, true, 0.3};
    first.characters["E"] = {50.0, 0.0, true, 0.1};
    log::WeekOfSending second = first;
    second.monday = *parse_utc("2026-11-23");
    second.score = 82.5;
    second.tests = 1;
    second.test_score = 80.0;
    second.faults.clear();
    second.characters["Q"] = {20.0, 1.0, true, 0.2};
    return {first, second};
}

TEST(TrendLines, ChoicesAndTheirLines) {
    const auto weeks = two_weeks();
    const auto choices = trend_choices(weeks);
    ASSERT_EQ(choices.size(), 6U);
    EXPECT_EQ(choices[3].words, "Fault: gaps closed");
    EXPECT_EQ(choices[4].words, "Character: Q");
    const auto score = trend_line(weeks, choices[0]);
    ASSERT_EQ(score.size(), 2U);
    EXPECT_EQ(score[1].value, 82.5);
    EXPECT_EQ(trend_line(weeks, choices[1]).size(), 1U) << "no test in the first week";
    EXPECT_EQ(trend_line(weeks, choices[3])[0].value, 75.0);
    EXPECT_EQ(trend_line(weeks, choices[3])[1].value, 0.0);
    EXPECT_EQ(trend_line(weeks, choices[4])[0].value, 25.0);
    EXPECT_EQ(trend_line(weeks, choices[4])[1].value, 5.0);
    EXPECT_EQ(trend_choices({}).size(), 3U);
}

TEST(TrendLines, Rows) {
    const auto rows = trend_rows(two_weeks());
    ASSERT_EQ(rows.size(), 2U);
    EXPECT_EQ(rows[0].week, "2026-11-16");
    EXPECT_EQ(rows[0].faults, "gaps closed 3");
    EXPECT_EQ(rows[0].hardest, "Q 5/20");
    EXPECT_EQ(rows[0].test_score, "n/a");
    EXPECT_EQ(rows[1].faults, "none");
    EXPECT_EQ(rows[1].test_score, "80.0");
}

}  // namespace
}  // namespace skedlark::gui
