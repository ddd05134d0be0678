#include "gui/bench/bench_rows.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

bench::Sheet tone_sheet(double sinad_db) {
    bench::Sheet sheet{.test = "tone"};
    sheet.report.measurements = {
        {.name = "pitch_hz", .figure = {700.0, 0.07}, .what = "pitch"},
        {.name = "sinad_db", .figure = {sinad_db, 0.2}, .what = "SINAD", .at = "3.5 MHz"}};
    sheet.report.occurrences = {{"dropout", 1.25, 0.01, 20.0, "a fall of 20.0 dB (+- 1.0)"}};
    return sheet;
}

TEST(BenchRows, FiguresWithTheirLimitsAndVerdictsInWords) {
    const auto rows = result_rows(tone_sheet(11.9));
    ASSERT_EQ(rows.size(), 3U);
    EXPECT_EQ(rows[0].value, "700.000 ± 0.070 Hz");
    EXPECT_EQ(rows[0].verdict, "");
    EXPECT_EQ(rows[1].what, "3.5 MHz: SINAD");
    EXPECT_EQ(rows[1].limit, "at least 12, our own");
    EXPECT_EQ(rows[1].verdict, "FAIL, close");
    EXPECT_EQ(rows[2].what, "dropout at 1.25 s");
    EXPECT_EQ(result_rows(tone_sheet(20.0))[1].verdict, "pass");
}

TEST(BenchRows, TheWholeInOneLine) {
    EXPECT_EQ(verdict_words(tone_sheet(20.0), true), "PASS: the limit is kept.");
    EXPECT_EQ(verdict_words(tone_sheet(5.0), false), "FAIL: 1 of 1 limits missed or not settled.");
    EXPECT_EQ(verdict_words(tone_sheet(20.0), false), "FAIL: the test's own condition is not met.");
    EXPECT_EQ(verdict_words({.test = "ring"}, true),
              "Measured; no limit stands for these figures.");
}

TEST(BenchRows, BeforeAndAfter) {
    log::BenchChanges changes{.test = "tone"};
    bench::Change change;
    change.before = bench::Measurement{.name = "sinad_db", .figure = {10.0, 0.2}};
    change.after = bench::Measurement{.name = "sinad_db", .figure = {20.0, 0.2}};
    change.difference = bench::Figure{10.0, 0.28};
    change.changed = true;
    changes.changes = {change, {.after = change.after}};
    const auto rows = change_rows(changes);
    EXPECT_EQ(rows[0].before, "10.00 ± 0.20 dB");
    EXPECT_EQ(rows[0].change, "+10.00 ± 0.28 dB");
    EXPECT_EQ(rows[0].verdict, "CHANGED");
    EXPECT_EQ(rows[1].before, "not there");
    EXPECT_EQ(rows[1].verdict, "only in one");
}

TEST(BenchRows, PlacesAreHintsAndTheGuideIsThatOfTheBench) {
    const std::string none = places_words({});
    EXPECT_NE(none.find("order of experience"), std::string::npos);
    EXPECT_NE(none.find("1. valves"), std::string::npos);
    const std::vector<bench::Sheet> bad{tone_sheet(5.0)};
    const std::string words = places_words(bad);
    EXPECT_NE(words.find("no verdicts"), std::string::npos);
    EXPECT_NE(words.find("SINAD 5.00 ± 0.20 dB"), std::string::npos) << words;
    EXPECT_EQ(words.find("battery"), std::string::npos) << "nothing speaks for it";
    for (const auto& symptom : bench::fault_guide()) {
        EXPECT_NE(guide_words().find(symptom.symptom), std::string::npos);
        for (const auto& cause : symptom.causes) {
            std::string look = cause.look;
            std::erase(look, '`');  // of the document's own marks
            EXPECT_NE(guide_words().find(look), std::string::npos) << look;
        }
    }
}

}  // namespace
}  // namespace skedlark::gui
