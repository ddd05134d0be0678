// skedlark drill by level, its set-up questions, what it refuses; run as from a shell.
#include <gtest/gtest.h>

#include <filesystem>

#include "tests/cli/scenes.h"

namespace skedlark::test {
namespace {

Ended drill(std::vector<std::string> arguments, const std::string& input = "") {
    arguments.insert(arguments.begin(), "drill");
    ProgramOptions options;
    options.input = input;
    return run_skedlark(arguments, options);
}

TEST(DrillPractice, ALevelIsKeyedAndTheNextOneFollowsFromThePersonsRecord) {
    const TempFolder folder;
    const std::string wav = folder.path("a.wav");
    const std::string log = folder.path("log.db");
    const Ended made = drill({"--level", "9", "--character-wpm", "16", "--count", "4", "--out", wav,
                              "--neighbour", "200", "--json"});
    ASSERT_EQ(made.status, 0) << made.error;
    EXPECT_NEAR(json_lines(made.out).at(0).at("speed_wpm").get<double>(), 16.0, 1e-9);
    const std::string text = content_of(wav + ".txt");
    const std::vector<std::string> marking{"--answer",   wav + ".txt", "--sent", wav + ".txt",
                                           "--level",    "9",          "--who",  "Ann",
                                           "--log-file", log,          "--json"};
    const auto marked = json_lines(drill(marking).out).at(0);
    EXPECT_NEAR(marked.at("level").get<double>(), 9.0, 0.01);
    // All right, and a fifth is the longest step.
    EXPECT_GT(marked.at("next_level").get<double>(), 9.0);
    EXPECT_LE(marked.at("next_level").get<double>(), 9.0 * 1.2 + 0.01);
    const std::string next = folder.path("b.wav");
    const Ended after = drill({"--who", "Ann", "--log-file", log, "--out", next, "--json"});
    const double level_wpm = json_lines(after.out).at(0).at("speed_wpm").get<double>();
    // 60.15 units to a group of mean letters, 50 to a word.
    EXPECT_NEAR(level_wpm * 50.0 / 60.15, marked.at("next_level").get<double>(), 0.02);
}

TEST(DrillPractice, OnlyTheFirstCharactersOfTheOrder) {
    const Ended ended = drill({"--first", "3", "--count", "20"});
    EXPECT_EQ(ended.status, 0) << ended.error;
    EXPECT_EQ(ended.out.find_first_not_of("EIT \n"), std::string::npos) << ended.out;
}

TEST(DrillPractice, TheSetUpIsAskedForAndMarked) {
    const std::vector<std::string> asking{"--set-up", EXAMPLE_PLAN, "--chart", EXAMPLE_CHART,
                                          "--seed",   "1",          "--json"};
    const Ended open = drill(asking, "\n\n\n\n");
    EXPECT_EQ(open.status, 1) << open.error;
    EXPECT_NE(open.error.find("band of the receiver (1, 2, 3)"), std::string::npos) << open.error;
    const auto line = json_lines(open.out).at(0);
    ASSERT_EQ(line.at("marks").size(), 4U);
    // What dial says of the same frequency is right.
    const double khz = line.at("receive_khz").get<double>();
    const auto setting = json_lines(run_skedlark({"dial", "--json", "--chart", EXAMPLE_CHART,
                                                  "--mhz", std::to_string(khz / 1000.0)})
                                        .out)
                             .at(0);
    const std::string answers = setting.at("band").get<std::string>() + "\n" +
                                std::to_string(setting.at("div").get<double>()) + "\n\n\n";
    const auto marks = json_lines(drill(asking, answers).out).at(0).at("marks");
    EXPECT_TRUE(marks[0].at("right").get<bool>()) << marks[0];
    EXPECT_TRUE(marks[1].at("right").get<bool>()) << marks[1];
    EXPECT_EQ(drill(asking, "2\nabout forty\n\n\n").status, 2);
}

TEST(DrillPractice, WhatIsOutOfRangeOrDoesNotGoTogetherIsRefused) {
    const auto said = [](std::vector<std::string> arguments) {
        const Ended ended = drill(std::move(arguments));
        EXPECT_EQ(ended.status, 2) << ended.out;
        return ended.error;
    };
    EXPECT_NE(said({"--play", "--level", "80"}).find("80 groups a minute; allowed: 3.3 to 49.9"),
              std::string::npos);
    EXPECT_NE(said({"--play", "--out", "x.wav"}).find("one at a time"), std::string::npos);
    EXPECT_NE(said({"--level", "8"}).find("needs --out, --play"), std::string::npos);
    EXPECT_NE(said({"--volume", "-30"}).find("needs --play or --key-delay"), std::string::npos);
    EXPECT_NE(said({"--play", "--volume", "0"}).find("-70 to -12"), std::string::npos);
    EXPECT_NE(said({"--set-up", EXAMPLE_PLAN}).find("--chart"), std::string::npos);
    EXPECT_NE(said({"--set-up", "no.toml", "--chart", EXAMPLE_CHART}).find("no.toml"),
              std::string::npos);
    EXPECT_NE(said({"--first", "40"}).find("2 to 26"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::test
