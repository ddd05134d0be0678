// Sheets of the log: what a week of practice and years of bench look like.
#include "gui/sheet/log_sheets.h"

#include <gtest/gtest.h>

#include "gui/sheet/log_entries.h"
#include "tests/desk/sheet/results.h"

namespace skedlark::gui {
namespace {

std::string entry(const std::string& kind, const std::string& when, const std::string& who,
                  const std::string& measurements, const std::string& more = "") {
    return R"({"event":"entry","id":7,"kind":")" + kind + R"(","started_utc":")" + when +
           R"(","seconds":60.0,"who":")" + who +
           R"(","receiver":"Hut set","input":"a.wav","outcome":"pass","note":"",)" + more +
           R"("measurements":[)" + measurements + "]}\n";
}
std::string value(const std::string& name, double number, const std::string& more = "") {
    return R"({"name":")" + name + R"(","value":)" + std::to_string(number) + more + "}";
}

// Ann sends on three days, 60 and 70 freely, 80 the fixed test, and copies once; Bea sends once.
std::string week() {
    return entry("practice", "2026-11-23T08:00:00.000Z", "Ann",
                 value("score", 60) + "," + value("fault_dash_short", 1) + "," +
                     value("keyed_Q", 10) + "," + value("faulty_Q", 4)) +
           entry("practice", "2026-11-24T08:00:00.000Z", "Ann",
                 value("score", 80) + "," + value("fixed_test", 1)) +
           entry("practice", "2026-11-24T09:00:00.000Z", "Ann",
                 value("score", 70) + "," + value("fault_dash_short", 1) + "," +
                     value("fault_chirp", 1)) +
           entry("practice", "2026-11-25T08:00:00.000Z", "Ann",
                 value("copied_right_share", 0.85) + "," + value("sent_S", 10) + "," +
                     value("wrong_S", 3) + "," + value("took_S_H", 2)) +
           entry("practice", "2026-11-26T08:00:00.000Z", "Bea", value("score", 90));
}

TEST(LogSheets, AWeekOfPractice) {
    const Sheet sheet = practice_sheet(log_entries(results_of(week())));
    const std::string words = words_of(sheet);
    for (const char* part :
         {"From: 2026-11-23", "To: 2026-11-26", "\nAnn\n4 attempts in all.",
          "|2026-11-23|1|1:00|60.0 (1 ×)|–|–|", "|2026-11-24|2|2:00|70.0 (1 ×)|80.0 (1 ×)|–|",
          "|2026-11-25|1|1:00|–|–|85 % (1 ×)|", "by how many of 3 sendings", "|dash short|2|67 %|",
          "|chirp|1|33 %|", "|S|10|3|30 %|", "|S|H|2|", "free practice: 2 attempts, mean 65.0",
          "fixed test: 1 attempts, mean 80.0"}) {
        EXPECT_HAS(words, part);
    }
    EXPECT_HAS(words, "|Q|10|4|");
    // Three plots: Ann's score, what she copied, Bea's score.
    EXPECT_EQ(sheet.plots(), 3U);
    const Plot& plot = *blocks_of<Plot>(sheet)[0];
    EXPECT_EQ(plot.x.names, (std::vector<std::string>{"11-23", "11-24", "11-25"}));
    EXPECT_NEAR(plot.series[0].x[0], 1.0 / 3.0, 1e-9);  // eight in the morning
}

// Ten points a week, exactly: 10/7 a day over four days.
TEST(LogSheets, ATrendIsSaidWithItsInterval) {
    std::string text;
    for (int i = 0; i < 4; ++i) {
        text += entry("practice", "2026-11-2" + std::to_string(3 + i) + "T08:00:00.000Z", "Ann",
                      value("score", 50.0 + 10.0 / 7.0 * i));
    }
    EXPECT_HAS(words_of(practice_sheet(log_entries(results_of(text)))),
               "Free sending: rises, +10.0 ± 0.0 a week (95 %).");
    const std::string flat =
        entry("practice", "2026-11-23T08:00:00.000Z", "Ann", value("score", 50)) +
        entry("practice", "2026-11-24T08:00:00.000Z", "Ann", value("score", 60)) +
        entry("practice", "2026-11-25T08:00:00.000Z", "Ann", value("score", 50));
    const Sheet sheet = practice_sheet(log_entries(results_of(flat)));
    EXPECT_HAS(words_of(sheet), "Free sending: no clear trend, +0.0 ±");
    EXPECT_EQ(sheet.title, "Practice of Ann");
}

TEST(LogSheets, ABenchOverTheYears) {
    const std::string limit = R"(,"uncertainty_95":0.2,"limit":12.0,"pass":true)";
    const std::string text =
        entry("bench", "2026-01-01T00:00:00.000Z", "Ann", value("tone.sinad_db", 14.0, limit)) +
        entry("bench", "2026-03-01T00:00:00.000Z", "Bea", value("tone.sinad_db", 13.0, limit)) +
        entry("bench", "2026-03-01T01:00:00.000Z", "Bea",
              value("hum.line_dbfs (100 Hz)", -50.0, R"(,"uncertainty_95":1.0)"));
    const Sheet sheet = history_sheet(log_entries(results_of(text)));
    const std::string words = words_of(sheet);
    for (const char* part :
         {"Receiver: Hut set", "Steady tone\n", "|7|2026-01-01|Ann|pass||",
          "|sinad_db|14.00 +- 0.20 dB|13.00 +- 0.20 dB|-1.00 +- 0.28 dB|CHANGED|", "Hum\n",
          "2026-01-01: 14; 2026-03-01: 13"}) {
        EXPECT_HAS(words, part);
    }
    const auto plots = blocks_of<Plot>(sheet);
    ASSERT_EQ(plots.size(), 1U);
    EXPECT_EQ(plots[0]->series[0].x, (std::vector<double>{0.0, 59.0}));  // 31 and 28 days
    EXPECT_EQ(plots[0]->marks[0].at, 12.0);
}

TEST(LogSheets, EntriesInOrderOfTimeAndWhatIsWrong) {
    const auto entries =
        log_entries(results_of(entry("practice", "2026-11-24T08:00:00.000Z", "B", "") +
                               entry("practice", "2026-11-23T08:00:00.000Z", "A", "")));
    ASSERT_EQ(entries.size(), 2U);
    EXPECT_EQ(entries[0].who, "A");
    EXPECT_EQ(day_of(entries[0].started), "2026-11-23");
    EXPECT_THROW((void)log_entries(results_of(entry("practice", "yesterday", "A", ""))), BadResult);
    EXPECT_THROW((void)practice_sheet({}), BadResult);
    EXPECT_THROW((void)history_sheet(entries), BadResult);
}

}  // namespace
}  // namespace skedlark::gui
