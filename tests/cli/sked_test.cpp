// skedlark sked from outside: cards, conflicts, clock, message sheet, everything wrong with a plan.
#include <gtest/gtest.h>

#include <sstream>

#include "tests/cli/program.h"

namespace skedlark::test {
namespace {

const std::string kPlan = EXAMPLE_PLAN;

Ended sked(std::vector<std::string> arguments, const ProgramOptions& options = {}) {
    arguments.insert(arguments.begin(), "sked");
    return run_skedlark(arguments, options);
}

std::vector<std::string> at(const std::string& time, std::vector<std::string> more = {}) {
    std::vector<std::string> all{kPlan, "--at", time};
    all.insert(all.end(), more.begin(), more.end());
    return all;
}

void expect_has(const std::string& text, const std::vector<std::string>& parts) {
    for (const std::string& part : parts) {
        EXPECT_NE(text.find(part), std::string::npos) << part << " is not in\n" << text;
    }
}

TEST(Sked, TheCardSaysItAllIn80Columns) {
    const Ended ended = sked(at("2026-11-26T17:00Z"));
    EXPECT_EQ(ended.status, 0) << ended.error;
    expect_has(
        ended.out,
        {"evening: QVA7 works QXB2 (Valley base)", "in 1 h 30 min",
         "Thu 26 Nov 2026 18:30 UTC, 19:30 CET, until 18:50 UTC",
         "18:05 UTC, in 1 h 5 min; 25 min for the drift", "not checked", "3570.0 kHz = 3.5700 MHz",
         "no receiver file", "crystal K1, 3562.5 kHz = 3.5625 MHz, band switch 1", "[_] crystal K1",
         "[_] spare valve", "[_] fuse", "give up   18:42 UTC", "times 2 = 5.1880 MHz",
         "band switch 2 (4800 to 7000 kHz)", "Fri 27 Nov 2026 18:30 UTC"});
    // By hand: 85 % read at noon. On from 18:05 to 18:50, 6 min of it sending: 39/60 of 20 h and
    // 6/60 of 38/3.4 h are 4.14 %; 19.14 % of 20 h at 1.6 h each are 6.1 h.
    expect_has(ended.out,
               {"shelf: 85 % when switched on, 81 % after it", "6.1 h of charging owed"});
    std::istringstream lines(ended.out);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
}

TEST(Sked, JsonHasEveryField) {
    const Ended ended = sked(at("2026-11-26T17:00Z", {"--json", "--count", "2"}));
    EXPECT_EQ(ended.status, 0) << ended.error;
    const auto cards = events_of(json_lines(ended.out), "contact");
    ASSERT_EQ(cards.size(), 2U);
    const auto& card = cards[0];
    EXPECT_EQ(card["name"], "evening");
    EXPECT_EQ(card["to_start_s"], 5400.0);
    EXPECT_EQ(card["switch_on_utc"], "2026-11-26T18:05:00.000Z");
    EXPECT_EQ(card["stage"], "waiting");
    ASSERT_EQ(card["legs"].size(), 3U);
    EXPECT_EQ(card["legs"][1]["answer"]["khz"], 5188.0);
    EXPECT_EQ(card["legs"][1]["answer"]["multiplier"], 2);
    EXPECT_EQ(card["legs"][0]["local_start"], "2026-11-26T19:30:00");
    EXPECT_TRUE(card["legs"][0]["dial"].is_null());
    EXPECT_NEAR(card["battery"]["after_percent"].get<double>(),
                85.0 - 100.0 * (39.0 / 60.0 / 20.0 + 6.0 / 60.0 / (38.0 / 3.4)), 0.01);
    EXPECT_TRUE(card["clock"]["uncertainty_95_s"].is_null());
    EXPECT_EQ(cards[1]["name"], "saddle");
}

TEST(Sked, DuringAContactAndOnAFallback) {
    expect_has(sked(at("2026-11-26T18:35Z")).out, {"NOW, since 5 min"});
    expect_has(sked(at("2026-11-26T18:45Z")).out, {"given up, fallback next", "   next 1. 19:00"});
    expect_has(sked(at("2026-11-26T20:05Z")).out, {"NOW, on a fallback", "   next 2. 20:00"});
}

TEST(Sked, TheClockTypedInOrFromTicks) {
    expect_has(
        sked(at("2026-11-26T17:00Z", {"--clock-offset", "-2.5", "--clock-uncertainty", "60"})).out,
        {"2.50 s slow, within 60.00 s (95 %), typed in", "18:04 UTC, in 1 h 4 min"});
    const TempFolder folder;
    std::string ticks = "# heard on the evening before\n";
    for (int s = 50; s < 75; ++s) {
        ticks += "2026-11-26T16:" + std::string(s < 60 ? "29:" : "30:") + (s % 60 < 10 ? "0" : "") +
                 std::to_string(s % 60) + ".300Z" + (s == 62 ? " minute" : "") + "\n";
    }
    const std::string file = folder.put("ticks.txt", ticks);
    // The minute's first tick at 30:02.3 by the clock: it is 2.3 s fast.
    expect_has(sked(at("2026-11-26T17:00Z", {"--ticks", file})).out,
               {"2.30 s fast, within 0.05 s (95 %), 25 of 25 ticks heard"});
    const Ended wrong = sked(at("2026-11-26T17:00Z", {"--ticks", folder.put("t", "soon\n")}));
    EXPECT_EQ(wrong.status, 2);
    expect_has(wrong.error, {"/t:1: 'soon' is not a time"});
    const Ended few = sked(at("2026-11-26T17:00Z", {"--ticks", folder.put("t", "")}));
    EXPECT_EQ(few.status, 2);
    expect_has(few.error, {"too few"});
    ProgramOptions tapping;
    tapping.input = "\n\nq\n";
    EXPECT_EQ(sked(at("2026-11-26T17:00Z", {"--tap"}), tapping).status, 2);
}

TEST(Sked, LocalTimesOnTheCommandLine) {
    expect_has(sked(at("2026-11-26T18:00")).out, {"in 1 h 30 min"});  // Vienna, by the plan
    expect_has(sked(at("2026-11-26T17:00", {"--zone", "UTC"})).out, {"in 1 h 30 min"});
    const Ended gap = sked(at("2026-03-29T02:30"));
    EXPECT_EQ(gap.status, 2);
    expect_has(gap.error, {"--at: 2026-03-29 02:30 does not exist in Europe/Vienna"});
    const Ended twice = sked(at("2026-10-25T02:30"));
    EXPECT_EQ(twice.status, 2);
    expect_has(twice.error, {"is there twice", "2026-10-25T00:30:00.000Z"});
    const Ended nowhere = sked(at("2026-10-25T02:30", {"--zone", "Nowhere/Hut"}));
    EXPECT_EQ(nowhere.status, 2);
    expect_has(nowhere.error, {"time zone 'Nowhere/Hut'"});
    EXPECT_EQ(sked(at("soon")).status, 2);
}

TEST(Sked, ConflictsAreFound) {
    EXPECT_EQ(sked(at("2026-11-26T17:00Z", {"--check"})).status, 0);
    const TempFolder folder;
    std::string plan = content_of(kPlan);
    plan.replace(plan.find("07:15:00"), 8, "18:40:00");
    plan.replace(plan.find("khz = 2594.0"), 12, "khz = 2100.0");
    const std::string file = folder.put("bad.toml", plan);
    const Ended text = sked({file, "--at", "2026-11-26T17:00Z", "--check"});
    EXPECT_EQ(text.status, 1);
    expect_has(text.out, {"\"evening\" and \"saddle\" overlap",
                          "fallback 1: no transmitter band for crystal K2"});
    const auto events =
        json_lines(sked({file, "--at", "2026-11-26T17:00Z", "--check", "--json"}).out);
    ASSERT_EQ(events.size(), 2U);
    EXPECT_EQ(events[0]["kind"], "no_answer");
    EXPECT_EQ(events[1]["kind"], "overlap");
    EXPECT_EQ(events[1]["at_utc"], "2026-11-27T18:40:00.000Z");
    expect_has(sked({file, "--at", "2026-11-26T17:00Z"}).out, {"in the next 14 days:", "! "});
}

TEST(Sked, NothingDueIsTheAnswerNo) {
    const TempFolder folder;
    std::string plan = content_of(kPlan);
    plan.replace(plan.find("repeat = \"daily\""), 16, "repeat = \"once\" ");
    const Ended ended =
        sked({folder.put("past.toml", plan), "--at", "2027-06-01T00:00Z", "--json"});
    EXPECT_EQ(ended.status, 1);
    EXPECT_EQ(ended.out, "");
    expect_has(ended.error, {"nothing is due after 2027-06-01", "\"saddle\" at 2027-03-26T07:15"});
}

TEST(Sked, TheMessageSheet) {
    const TempFolder folder;
    const std::string message = folder.put("answer.txt", "flour received\nall well two guests");
    const Ended words = sked(at("2026-11-26T17:00Z", {"--message", message, "--number", "4"}));
    EXPECT_EQ(words.status, 0) << words.error;
    expect_has(words.out,
               {"message 4 from QVA7 to QXB2: 6 groups", "at 13.5 wpm", "QXB2 QXB2 DE QVA7 QVA7 K",
                "[KA] NR 4 GR 6 261700Z [BT]", "1 FLOUR    ", "   2 RECEIVED ", "6 GUESTS\n",
                "QVA7 DE QXB2 R NR 4", "QXB2 DE QVA7 [SK]", "% of \"shelf\""});
    std::istringstream lines(words.out);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
    const auto fives =
        json_lines(sked(at("2026-11-26T17:00Z", {"--message", message, "--groups", "fives", "--to",
                                                 "QZM4", "--wpm", "20", "--json"}))
                       .out);
    ASSERT_EQ(fives.size(), 1U);
    EXPECT_EQ(fives[0]["to"], "QZM4");
    EXPECT_EQ(fives[0]["count"], 6);
    EXPECT_EQ(fives[0]["groups"][5], "ESTSX");
    EXPECT_EQ(fives[0]["speed_wpm"], 20.0);
    ProgramOptions piped;
    piped.input = "all well";
    expect_has(sked(at("2026-11-26T17:00Z", {"--message", "-"}), piped).out, {"2 groups"});
}

TEST(Sked, GroupsAskedForAgain) {
    const TempFolder folder;
    const std::string message = folder.put("answer.txt", "flour received all well two guests");
    const Ended again = sked(
        at("2026-11-26T17:00Z", {"--message", message, "--again", "AA WELL", "--again", "GR 1-2"}));
    EXPECT_EQ(again.status, 0) << again.error;
    expect_has(again.out, {"     5  TWO", "     6  GUESTS",
                           "QXB2 DE QVA7 GR 5 TO 6 TWO GUESTS [AR] K", "GR 1 TO 2 FLOUR RECEIVED"});
    const Ended none = sked(at("2026-11-26T17:00Z", {"--message", message, "--again", "GR 7"}));
    EXPECT_EQ(none.status, 2);
    expect_has(none.error, {"there are groups 1 to 6"});
}

TEST(Sked, TheHandThatWasMeasuredSetsTheAirTime) {
    const TempFolder folder;
    const std::string message = folder.put("answer.txt", "EEEEE");
    const std::string result = folder.put(
        "own.jsonl",
        R"({"event":"summary","tones":[{"timing":{"dot_ms":200,"dash_ms":600,"element_gap_ms":200,)"
        R"("character_gap_ms":600,"word_gap_ms":1400}}]})"
        "\n");
    const auto sheet = json_lines(
        sked(at("2026-11-26T17:00Z", {"--message", message, "--speed-from", result, "--json"}))
            .out);
    ASSERT_EQ(sheet.size(), 1U);
    EXPECT_NEAR(sheet[0]["speed_wpm"].get<double>(), 6.0, 1e-6) << "a dot of 200 ms";
    for (const char* bad :
         {"not json\n", "{}\n", "", "[1]\n", R"({"event":"summary","tones":[3]})",
          R"({"event":"summary","tones":[{"timing":{"dot_ms":-4}}]})", R"({"event":7})"}) {
        const Ended ended = sked(at("2026-11-26T17:00Z", {"--message", message, "--speed-from",
                                                          folder.put("bad.jsonl", bad)}));
        EXPECT_EQ(ended.status, 2) << bad;
        expect_has(ended.error, {"bad.jsonl"});
    }
}

TEST(Sked, WhatIsWrongIsNamed) {
    const TempFolder folder;
    const auto refused = [](const std::vector<std::string>& arguments, const std::string& named) {
        const Ended ended = sked(arguments);
        EXPECT_EQ(ended.status, 2) << ended.error;
        EXPECT_EQ(ended.error.rfind("skedlark", 0), 0U);
        EXPECT_NE(ended.error.find(named), std::string::npos) << ended.error;
    };
    refused({folder.path("missing.toml")}, "missing.toml");
    refused({folder.path("")}, "directory");
    refused({folder.put("empty.toml", "")}, "empty.toml");
    refused({folder.put("a.toml", "call = \n")}, "a.toml:1: not TOML");
    std::string plan = content_of(kPlan);
    plan.replace(plan.find("station = \"QXB2\""), 16, "station = \"QXB9\"");
    refused({folder.put("b.toml", plan)},
            "station: 'QXB9' is not in the plan; allowed: QXB2, QZM4");
    refused({kPlan, "--count", "0"}, "--count");
    refused({kPlan, "--count", "nan"}, "--count");
    refused({kPlan, "--again", "4"}, "--message");
    refused({kPlan, "--message", folder.path("none.txt")}, "none.txt");
    refused({kPlan, "--message", folder.put("odd.txt", "50 %")},
            "odd.txt: text: '%' at character 4");
    refused({kPlan, "--clock-offset", "inf"}, "--clock-offset");
    refused({}, "PLAN");
}

TEST(Sked, AFullDiskBehindTheOutputIsNoticed) {
    ProgramOptions full;
    full.output_to = "/dev/full";
    EXPECT_EQ(sked(at("2026-11-26T17:00Z"), full).status, 3);
}

}  // namespace
}  // namespace skedlark::test
