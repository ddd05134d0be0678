#include "dsp/log/sending_trend.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::log {
namespace {

Entry attempt(const std::string& when, double score, std::vector<Measurement> more = {}) {
    Entry entry;
    entry.kind = kPractice;
    entry.started = *parse_utc(when);
    entry.seconds = 60.0;
    entry.measurements = std::move(more);
    entry.measurements.push_back({"score", score});
    return entry;
}

// ISO 8601: 2026-11-23 is a Monday (a Thursday began 2026, so 1 January is in week 1).
TEST(SendingTrend, WeeksBeginOnMonday) {
    EXPECT_EQ(monday_of(*parse_utc("2026-11-23T00:00Z")), *parse_utc("2026-11-23"));
    EXPECT_EQ(monday_of(*parse_utc("2026-11-29T23:59Z")), *parse_utc("2026-11-23"));
    EXPECT_EQ(monday_of(*parse_utc("2026-01-01T12:00Z")), *parse_utc("2025-12-29"));
    EXPECT_EQ(monday_of(*parse_utc("1970-01-05")), *parse_utc("1970-01-05"));
}

TEST(SendingTrend, MeansAndCountsByWeek) {
    const std::vector<Entry> entries = {
        attempt("2026-11-30T10:00Z", 90.0, {{"fault_chirp", 1.0}, {"fixed_test", 1.0}}),
        attempt("2026-11-24T10:00Z", 60.0, {{"fault_dash_short", 1.0}, {"overall_wpm", 12.0}}),
        attempt("2026-11-29T10:00Z", 70.0, {{"fault_dash_short", 1.0}}), Entry{}};
    const auto weeks = sending_trend(entries);
    ASSERT_EQ(weeks.size(), 2U);
    EXPECT_EQ(weeks[0].attempts, 2);
    EXPECT_EQ(weeks[0].score, 65.0);
    EXPECT_EQ(weeks[0].overall_wpm, 12.0);
    EXPECT_EQ(weeks[0].seconds, 120.0);
    EXPECT_EQ(weeks[0].tests, 0);
    EXPECT_TRUE(std::isnan(weeks[0].test_score));
    EXPECT_EQ(weeks[0].faults.at("dash_short"), 2);
    EXPECT_EQ(weeks[1].test_score, 90.0);
    EXPECT_EQ(faults_met(weeks), (std::vector<std::string>{"dash_short", "chirp"}));
}

TEST(SendingTrend, CharactersAddUpAndTheHardestComesFirst) {
    const auto weeks = sending_trend(std::vector<Entry>{
        attempt("2026-11-24", 60.0, {{"keyed_A", 10.0}, {"faulty_A", 1.0}, {"off_A", 0.3}}),
        attempt("2026-11-25", 60.0, {{"keyed_A", 30.0}, {"faulty_A", 0.0}, {"off_A", 0.1}}),
        attempt("2026-11-26", 60.0, {{"keyed_B", 40.0}, {"faulty_B", 8.0}}),
        attempt("2026-11-26", 60.0, {{"keyed_C", 1.0}, {"faulty_C", 1.0}}),
        attempt("2026-11-26", 60.0, {{"keyed_D", 9.0}, {"off_D", 0.2}})});
    ASSERT_EQ(weeks.size(), 1U);
    const KeyedCharacter& a = weeks[0].characters.at("A");
    EXPECT_EQ(a.keyed, 40.0);
    EXPECT_EQ(a.faulty, 1.0);
    EXPECT_NEAR(a.off_standard, std::sqrt((10 * 0.09 + 30 * 0.01) / 40), 1e-12);
    // B 9/50, C 2/11, A 2/50: one slip of a rare character weighs as 18 % of many.
    EXPECT_EQ(hardest_characters(weeks), (std::vector<std::string>{"C", "B", "A", "D"}));
}

TEST(SendingTrend, NothingSent) {
    EXPECT_TRUE(sending_trend({}).empty());
    EXPECT_TRUE(hardest_characters({}).empty());
}

}  // namespace
}  // namespace skedlark::log
