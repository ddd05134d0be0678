#include "dsp/log/bench_entry.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::log {
namespace {

bench::Sheet sheet_of(double sinad_db) {
    bench::Sheet sheet{.test = "tone", .input = "set", .sample_rate_hz = 8000.0, .seconds = 10.0};
    sheet.report.measurements = {
        {.name = "sinad_db", .figure = {sinad_db, 0.2}, .what = "SINAD"},
        {.name = "thd_db", .figure = {-50.0, 0.0}, .known = bench::Known::at_most, .what = "THD"},
        {.name = "pitch_hz", .figure = {700.0, 0.1}, .what = "pitch", .at = "3.5 MHz"}};
    return sheet;
}

TEST(BenchEntry, KeepsFiguresBoundsAndPlaces) {
    Entry facts;
    facts.receiver = "hut set";
    facts.who = "Ida";
    const Entry entry = bench_entry(facts, sheet_of(20.0), true);
    EXPECT_EQ(entry.kind, kBench);
    EXPECT_EQ(entry.receiver, "hut set");
    EXPECT_EQ(entry.seconds, 10.0);
    EXPECT_EQ(entry.outcome, "pass");
    ASSERT_EQ(entry.measurements.size(), 3U);
    EXPECT_EQ(entry.measurements[0].name, "tone.sinad_db");
    EXPECT_EQ(entry.measurements[0].limit, 12.0);
    EXPECT_EQ(entry.measurements[0].pass, true);
    EXPECT_EQ(entry.measurements[1].name, "tone.thd_db (at most)");
    EXPECT_TRUE(std::isnan(entry.measurements[1].uncertainty_95));
    EXPECT_EQ(entry.measurements[2].name, "tone.pitch_hz (3.5 MHz)");
    EXPECT_EQ(bench_test_of(entry), "tone");
    const auto back = bench_measurements(entry);
    ASSERT_EQ(back.size(), 3U);
    EXPECT_EQ(back[1].known, bench::Known::at_most);
    EXPECT_EQ(back[2].at, "3.5 MHz");
    EXPECT_EQ(back[2].name, "pitch_hz");
}

TEST(BenchEntry, OutcomeFollowsTheLimits) {
    EXPECT_EQ(bench_entry({}, sheet_of(5.0), false).outcome, "fail");
    bench::Sheet no_limit{.test = "rundown"};
    EXPECT_EQ(bench_entry({}, no_limit, true).outcome, "done");
    EXPECT_EQ(bench_test_of(bench_entry({}, no_limit, true)), "rundown") << "also without a figure";
}

// sqrt(0.2^2 + 0.2^2) = 0.28 dB: 20 to 20.1 is none, 20 to 25 is a change.
TEST(BenchEntry, TwoSheetsAreComparedWithTheirUncertainties) {
    const Entry before = bench_entry({}, sheet_of(20.0), true);
    const auto same = compare_bench(before, bench_entry({}, sheet_of(20.1), true));
    ASSERT_TRUE(same) << same.error().message;
    EXPECT_STREQ(verdict_of(same->changes[0]), "not changed");
    const auto other = compare_bench(before, bench_entry({}, sheet_of(25.0), true));
    ASSERT_TRUE(other) << other.error().message;
    EXPECT_STREQ(verdict_of(other->changes[0]), "CHANGED");
    EXPECT_NEAR(other->changes[0].difference->uncertainty_95, std::hypot(0.2, 0.2), 1e-12);
    EXPECT_EQ(side_text(other->changes[0].before), "20.00 +- 0.20 dB");
    EXPECT_EQ(side_text(std::nullopt), "not there");
    Entry watch;
    EXPECT_FALSE(compare_bench(before, watch).ok());
    EXPECT_FALSE(compare_bench(before, bench_entry({}, {.test = "rundown"}, true)).ok());
}

}  // namespace
}  // namespace skedlark::log
