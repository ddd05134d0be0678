// What is said of each kind of result: every figure is the result's own.
#include "gui/sheet/kinds.h"

#include <gtest/gtest.h>

#include "tests/desk/sheet/results.h"

namespace skedlark::gui {
namespace {

TEST(FistSheet, FiguresAreThoseOfTheResult) {
    const Sheet sheet = sheet_of(kFistResult);
    const std::string words = words_of(sheet);
    for (const char* part :
         {"Score 87.4 of 100", "|dots and dashes|90.0 %|1 in 250|under 1 in 1 000 000|",
          "Recording: /tmp/practice.wav", "Tone: 700.1 Hz, 14.9 dB in 2500 Hz",
          "|0:04|key or transmitter|dots <lose> 20 ms|tune off the peak|",
          "|1:05|run together|AN|P|", "3 of 4 characters right", "|Dash|180.0 ms|–|3.00|3|",
          "|Gap between words|420.0 ms|–|7.00|7|", "weight 0.50", "Reads: A E T"}) {
        EXPECT_HAS(words, part);
    }
    // Furthest from the standard first.
    EXPECT_LT(words.find("|N|2|"), words.find("|A|1|"));
    EXPECT_EQ(sheet.plots(), 4U);  // too few marks for a speed over time
}

TEST(FistSheet, WithoutTheTextOrTheEnd) {
    std::string text = kFistResult;
    const std::size_t from = text.find(",\"errors\"");
    text = text.substr(0, from) + ",\"errors\":null}\n";
    EXPECT_HAS(words_of(sheet_of(text)), "The text meant was not given");
    const std::size_t summary = kFistResult.find("{\"event\":\"summary\"");
    EXPECT_HAS(words_of(sheet_of(kFistResult.substr(0, summary))), "nothing is graded");
    // Two sendings are two parts, with their names.
    EXPECT_HAS(words_of(sheet_of(kFistResult + kFistResult)), "\npractice.wav\n");
}

TEST(FistSheet, WhatIsMissingIsNamed) {
    std::string text = kFistResult;
    text.replace(text.find("\"score\":87.4"), 12, "\"score\":\"ab\"");
    EXPECT_EQ(problem_of(text), "a.json:3: score: \"ab\" where a number or null is expected");
    text = kFistResult;
    text.replace(text.find("[\"dot\",1.0"), 10, "[\"dit\",1.0");
    EXPECT_HAS(problem_of(text), "a.json:2: lengths[0]: \"dit\" is no kind of length");
}

TEST(CopySheet, DoubtIsShownWithoutColour) {
    const Sheet sheet = sheet_of(kCopyResult);
    const std::string words = words_of(sheet);
    // 0.71 and 0.3 are below 0.8; what is not final yet is left out.
    EXPECT_HAS(words, "[BT] K<S_> A");
    EXPECT_FALSE(has(words, "X"));
    EXPECT_HAS(words, "S 71 %, H 20 %, 5 6 %");
    EXPECT_HAS(words, "|1|0:01|KS_|KS_|30 %|");
    EXPECT_HAS(words, "699.9 Hz, -3.2 dB in 2500 Hz, 15.0 words a minute");
    EXPECT_HAS(words, "Audio was lost from 0:05 to 0:06 (device)");
    EXPECT_HAS(words, "5 characters, 2 of them less than 80 % sure");
    const auto plots = blocks_of<Plot>(sheet);
    ASSERT_EQ(plots.size(), 1U);
    EXPECT_NEAR(plots[0]->series[0].y[2], 71.0, 1e-9);
    EXPECT_NEAR(plots[0]->marks[0].at, 80.0, 1e-9);
}

TEST(CopySheet, CorrectionsStandBesideWhatWasRead) {
    const std::string corrected =
        kCopyResult +
        R"({"event":"correction","tone":1,"from_s":1.9,"to_s":2.1,"read":"S","corrected":"H"})";
    const std::string words = words_of(sheet_of(corrected));
    EXPECT_HAS(words, "KH_ (corrected)|KS_|");
}

TEST(CopySheet, NothingCopiedAndCutShort) {
    EXPECT_HAS(words_of(sheet_of("{\"event\":\"summary\",\"seconds\":3.0,\"tones\":[]}")),
               "Nothing was copied.");
    const std::string cut = kCopyResult.substr(0, kCopyResult.find("{\"event\":\"audio_lost\""));
    const std::string words = words_of(sheet_of(cut));
    EXPECT_HAS(words, "ends before its summary");
    EXPECT_HAS(words, "[BT] K<S_> A");
    EXPECT_EQ(problem_of("{\"event\":\"char\",\"tone\":1}"), "a.json:1: \"from_s\" is missing");
}

TEST(SweepSheet, StationsAndTheMap) {
    const Sheet sheet = sheet_of(kSweepResult);
    const std::string words = words_of(sheet);
    for (const char* part :
         {"Go back to division 42.12 for zero beat, about 42.19 to hear it.",
          "|42.05 to 42.20|3.7853|keyed|-5.5 dB|0:21|", "|broadcast|20.0 dB|",
          "3.7850 MHz: likeliest at 42.10, with 95 % from 42.00 to 42.30",
          "would have found it with 75.0 %", "Next: 41.50 to 42.00", "1 keyed, 1 broadcast"}) {
        EXPECT_HAS(words, part);
    }
    const auto plots = blocks_of<Plot>(sheet);
    ASSERT_EQ(plots.size(), 2U);
    EXPECT_EQ(*plots[0]->x.from, 42.0);  // whichever way it was swept
    EXPECT_EQ(plots[1]->series[0].y[1], 90.0);
    const std::string nothing =
        R"({"event":"sweep","seconds":6.0,"from_div":1,"to_div":2,"stations":0,"go_back_div":null,"go_back_listen_div":null,"map":null})";
    EXPECT_HAS(words_of(sheet_of(nothing)), "Nothing keyed was met.");
}

TEST(DrillSheet, MarksAndExercises) {
    const Sheet sheet = sheet_of(kDrillResult);
    const std::string words = words_of(sheet);
    for (const char* part : {"80.0 % right: 8 of 10 characters", "|8|1|1|0|0|", "|S|H|1|",
                             "Copied at 12.0 words a minute; next at 10.8", "KXQMV BTLWE",
                             "--seed 7", "S 2 of 3", "sent   KS SS", "typed  KH _S",
                             "       "
                             " x _ "}) {
        EXPECT_HAS(words, part);
    }
    EXPECT_EQ(sheet.plots(), 1U);
}

}  // namespace
}  // namespace skedlark::gui
