// The bench sheet: every figure with its limit; before against after.
#include "gui/sheet/bench_sheet.h"

#include <gtest/gtest.h>

#include <cmath>

#include "gui/sheet/bench_plots.h"
#include "tests/desk/sheet/bench_results.h"
#include "tests/desk/sheet/results.h"

namespace skedlark::gui {
namespace {

std::string words(const BenchWishes& wishes = {}) {
    return words_of(bench_sheet(results_of(kBenchResult), wishes));
}

TEST(BenchResult, IsReadAsItWasMeasured) {
    const auto tests = bench_tests(results_of(kBenchResult));
    ASSERT_EQ(tests.size(), 2U);
    EXPECT_EQ(tests[0].test, "tone");
    EXPECT_EQ(tests[0].chain, "lead A");
    EXPECT_EQ(tests[0].input, "/r/tone.wav");
    ASSERT_EQ(tests[0].rows.size(), 4U);
    EXPECT_EQ(tests[0].rows[0].verdict(), "pass");
    EXPECT_EQ(tests[0].rows[1].verdict(), "FAIL, close");
    EXPECT_EQ(tests[0].rows[2].verdict(), "–");
    EXPECT_TRUE(tests[0].rows[0].limit->own);
    EXPECT_FALSE(tests[0].rows[1].limit->own);
    EXPECT_EQ(tests[0].rows[3].measured.known, bench::Known::at_most);
    EXPECT_EQ(tests[0].notes.size(), 1U);
    EXPECT_TRUE(tests[1].complete);
    EXPECT_EQ(tests[1].curves.at(0).rows.size(), 3U);
    EXPECT_EQ(tests[1].row("jumps")->measured.figure.value, 0.0);
    EXPECT_EQ(tests[1].row("none"), nullptr);
}

TEST(BenchSheet, VerdictsLimitsAndWhatTheyWereMeasuredWith) {
    const std::string all = words({.receiver = "Hut set", .supply = "battery, 12.1 V"});
    for (const char* part :
         {"Receiver: Hut set", "Supply: battery, 12.1 V", "FAIL: 1 of 3 limits missed.",
          "Not kept: Steady tone, distortion.",
          "|Steady tone|tone.wav, 0:10|chain lead A|FAIL: 1 of 2 limits missed|",
          "|Drift|cold.flac, 10:00|chain not measured|pass|",
          "|tone over noise and distortion|14.25 dB|± 0.15|at least 12 *|pass|",
          "|distortion|11.2 %|± 1.4|at most 10|FAIL, close|", "|harmonic 3|below -48.000 dB|–|–|–|",
          "|1 s: change from one stretch to the next|",
          "|80.00 s|jump|1000 ms|–|pitch jumps by +2.00 Hz|", "Clipped once.", "the project's own",
          "lethal"}) {
        EXPECT_HAS(all, part);
    }
    EXPECT_HAS(words(), "Receiver: not said\nSupply: not said");
}

// Differences by hand: 14.25 - 9.00 with root(0.15^2 + 0.2^2) = 0.25; 11.2 - 12.0 with root(1.4^2 + 1^2) =
// 1.72, so no change can be told.
TEST(BenchSheet, BeforeAndAfter) {
    BenchWishes wishes;
    wishes.before = results_of(kBenchBefore);
    const Sheet sheet = bench_sheet(results_of(kBenchResult), wishes);
    const std::string all = words_of(sheet);
    EXPECT_HAS(all,
               "|tone over noise and distortion|9.00 dB ± 0.20|14.25 dB ± 0.15|+5.25 ± "
               "0.25|CHANGED: higher|");
    EXPECT_HAS(all, "|-0.8 ± 1.7|not changed|");
    EXPECT_HAS(all, "|–|cannot be told|");  // a bound that holds the old value
    EXPECT_HAS(all, "|–|only in one|");
    for (const Plot* plot : blocks_of<Plot>(sheet)) {
        if (plot->y.title != "pitch (Hz)") continue;
        ASSERT_EQ(plot->series.size(), 2U);
        EXPECT_EQ(plot->series[0].name, "pitch against time, after");
        EXPECT_EQ(plot->series[1].name, "pitch against time, before");
    }
    wishes.before = results_of(R"({"event":"bench","test":"ring","seconds":1.0})");
    EXPECT_HAS(words(wishes), "holds none of these tests");
}

TEST(BenchSheet, NothingJudgedAndCutShort) {
    const std::string cut =
        R"({"event":"measurement","test":"ring","name":"ring_hz","value":400.0,"uncertainty_95":1.0,"known":"value","limit":null,"pass":null})";
    const std::string all = words_of(bench_sheet(results_of(cut), {}));
    EXPECT_HAS(all, "No limit was set: nothing is judged.");
    EXPECT_HAS(all, "ends before its last line");
    EXPECT_HAS(all, "|ring_hz|400.0 Hz|± 1.0|");  // without words its name must do
}

TEST(BenchSheet, ABoundThatSettlesNothing) {
    const std::string bound =
        R"({"event":"measurement","test":"tone","name":"thd_percent","value":12.0,"uncertainty_95":null,"known":"at_most","limit":10.0,"limit_kind":"max","limit_from":"project","pass":null,"sure":false})";
    const std::string all = words_of(bench_sheet(results_of(bound), {}));
    EXPECT_HAS(all, "NOT SETTLED: 1 of 1 limits.");
    EXPECT_FALSE(has(all, "PASS"));
}

TEST(BenchSheet, WhatIsWrongIsNamed) {
    const auto problem = [](const std::string& text) {
        try {
            (void)bench_sheet(results_of(text), {});
        } catch (const BadResult& bad) {
            return std::string(bad.what());
        }
        return std::string();
    };
    EXPECT_EQ(problem(R"({"event":"measurement","test":"tone","value":1})"),
              "a.json:1: \"name\" is missing");
    EXPECT_HAS(
        problem(R"({"event":"measurement","test":"t","name":"x","limit":5,"limit_kind":"?"})"),
        "allowed: min, max, between");
    EXPECT_HAS(
        problem(
            R"({"event":"measurement","test":"t","name":"x","limit":[1],"limit_kind":"between"})"),
        "two numbers");
}

TEST(BenchPlots, CurvesAsMeasuredWithTheirUncertainty) {
    const auto tests = bench_tests(results_of(kBenchResult));
    const auto tone = bench_plots(tests[0], nullptr);
    ASSERT_EQ(tone.size(), 1U);  // harmonics
    EXPECT_EQ(tone[0].series[0].x, (std::vector<double>{2.0, 3.0}));
    EXPECT_EQ(tone[0].series[0].y, (std::vector<double>{-19.5, -48.0}));
    EXPECT_HAS(tone[0].said, "3: below -48.0 dB");
    const auto drift = bench_plots(tests[1], nullptr);
    ASSERT_EQ(drift.size(), 1U);
    EXPECT_EQ(drift[0].x.title, "time (min)");
    EXPECT_EQ(drift[0].y.title, "pitch (Hz)");
    EXPECT_EQ(drift[0].series[0].y[1], 690.0);
    EXPECT_NEAR(drift[0].series[0].low[2], 685.8, 1e-9);
    EXPECT_NEAR(drift[0].series[0].high[2], 686.2, 1e-9);
}

TEST(BenchPlots, FiguresOfManyPlaces) {
    const auto tests = bench_tests(results_of(
        R"({"event":"measurement","test":"hum","name":"line_dbfs","at":"100.2 Hz","value":-50.0,"uncertainty_95":1.0,"known":"value","limit":null,"pass":null}
{"event":"measurement","test":"hum","name":"line_dbfs","at":"50.1 Hz","value":-40.0,"uncertainty_95":1.0,"known":"value","limit":null,"pass":null}
{"event":"occurrence","test":"hum","kind":"crackle","at_s":3.0,"length_s":0.01,"depth_db":12.0}
)"));
    const auto plots = bench_plots(tests[0], &tests[0]);
    ASSERT_EQ(plots.size(), 2U);
    EXPECT_EQ(plots[0].series.size(), 2U);
    EXPECT_EQ(plots[0].series[0].x, (std::vector<double>{100.2, 50.1}));
    EXPECT_EQ(plots[1].series[0].y, (std::vector<double>{12.0}));
}

TEST(BenchPlots, AxesSayTheirUnits) {
    EXPECT_EQ(axis_title("pitch_hz"), "pitch (Hz)");
    EXPECT_EQ(axis_title("level_dbfs"), "level (dBFS)");
    EXPECT_EQ(axis_title("offset_hz"), "from zero beat (Hz)");
    EXPECT_EQ(axis_title("shape_factor"), "shape factor");
    EXPECT_EQ(axis_title("s_plus_n_over_n_db"), "s plus n over n (dB)");
    EXPECT_EQ(axis_title("drift_hz_per_s"), "drift (Hz/s)");
}

}  // namespace
}  // namespace skedlark::gui
