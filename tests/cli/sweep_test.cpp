// skedlark sweep from outside: the demo recording, the map between sweeps, everything wrong.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/cli/program.h"

namespace skedlark::test {
namespace {

const std::string kChart = EXAMPLE_CHART;
const std::string kSweep = EXAMPLE_SWEEP;

Ended sweep(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), {"sweep"});
    return run_skedlark(arguments);
}

// Where the stations of the recording stand: its truth, over the length it says.
std::vector<double> true_divs() {
    std::ifstream in(EXAMPLE_SWEEP_TRUTH);
    const auto truth = nlohmann::json::parse(in);
    std::vector<double> divs;
    for (const auto& station : truth.at("stations"))
        divs.push_back(42.0 + 2.0 * station.at("zero_beats_s")[0].get<double>() / 56.0);
    return divs;
}

class SweepVerb : public ::testing::Test {
 protected:
    void SetUp() override {
        std::string name = (std::filesystem::temp_directory_path() / "sweep_test_XXXXXX").string();
        ASSERT_NE(mkdtemp(name.data()), nullptr);
        folder_ = name;
    }
    void TearDown() override { std::filesystem::remove_all(folder_); }
    std::string file(const std::string& name, const std::string& content) const {
        const std::string path = (folder_ / name).string();
        std::ofstream(path) << content;
        return path;
    }
    std::filesystem::path folder_;
};

TEST_F(SweepVerb, MeetsTheStationsOfTheRecording) {
    const Ended ended =
        sweep({"--chart", kChart, "--band", "2", "--from", "42", "--to", "44", "--json", kSweep});
    EXPECT_EQ(ended.status, 0) << ended.error;
    const auto lines = json_lines(ended.out);
    ASSERT_EQ(lines.size(), 5U) << ended.out;
    const auto divs = true_divs();
    for (std::size_t n = 0; n < 4; ++n) {
        const auto& one = lines[n];
        EXPECT_EQ(one.at("event"), "station");
        EXPECT_NEAR(one.at("div").get<double>(), divs[n], 0.01);
        EXPECT_LT(one.at("div_95")[0].get<double>(), divs[n]);
        EXPECT_GT(one.at("div_95")[1].get<double>(), divs[n]);
        EXPECT_LT(one.at("false_alarm_odds").get<double>(), 1e-3);
    }
    EXPECT_TRUE(lines[0].at("broadcast").get<bool>());
    EXPECT_EQ(lines[1].at("keyed"), true);
    EXPECT_EQ(lines[2].at("keyed"), false);
    EXPECT_EQ(lines[3].at("keyed"), true);
    EXPECT_NEAR(lines[1].at("snr_2500hz_db").get<double>(), -13.0, 3.0);
    EXPECT_EQ(lines[4].at("event"), "sweep");
    EXPECT_EQ(lines[4].at("stations"), 4);
    EXPECT_TRUE(lines[4].at("map").is_null());
}

TEST_F(SweepVerb, TheWantedStationIsGoneBackToAndTheMapIsKept) {
    const std::string map = (folder_ / "map.json").string();
    const std::vector<std::string> arguments{"--chart",  kChart,   "--from", "42", "--to", "44",
                                             "--expect", "3.7985", "--map",  map,  kSweep};
    const Ended first = sweep(arguments);
    EXPECT_EQ(first.status, 0) << first.error;
    EXPECT_NE(first.error.find("go back to 42.8"), std::string::npos) << first.error;
    EXPECT_NE(first.error.find("so far (1)"), std::string::npos) << first.error;
    std::istringstream lines(first.out + first.error);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 81U) << line;
    const Ended second = sweep(arguments);
    EXPECT_NE(second.error.find("so far (2)"), std::string::npos) << second.error;
    // The map of another frequency is not written over.
    const Ended other = sweep({"--chart", kChart, "--from", "42", "--to", "44", "--expect", "3.81",
                               "--map", map, kSweep});
    EXPECT_EQ(other.status, 2);
    EXPECT_NE(other.error.find("map.json"), std::string::npos) << other.error;
    EXPECT_NE(sweep(arguments).error.find("so far (3)"), std::string::npos);
}

TEST_F(SweepVerb, MarksSayWhereTheDialWas) {
    const std::string marks = file("marks.csv", "seconds,division\n0,42\n28,43\n56,44\n");
    const Ended ended =
        sweep({"--chart", kChart, "--band", "2", "--marks", marks, "--json", kSweep});
    EXPECT_EQ(ended.status, 0) << ended.error;
    const auto lines = json_lines(ended.out);
    ASSERT_EQ(lines.size(), 5U);
    EXPECT_NEAR(lines[1].at("div").get<double>(), true_divs()[1], 0.01);
}

TEST_F(SweepVerb, WhatIsWrongIsNamed) {
    const auto fails = [&](std::vector<std::string> arguments, const std::string& message) {
        const Ended ended = sweep(arguments);
        EXPECT_EQ(ended.status, 2) << ended.error;
        EXPECT_NE(ended.error.find(message), std::string::npos) << ended.error;
        EXPECT_TRUE(ended.out.empty());
    };
    const std::string bad = file("bad.csv", "0,42\nten,43\n");
    const std::string map = file("map.json", "{}");
    fails({kSweep}, "--chart: is missing");
    fails({"--chart", kChart, kSweep}, "--from: is missing");
    fails({"--chart", kChart, "--from", "42", kSweep}, "--to: is missing");
    fails({"--chart", kChart, "--from", "42", "--to", "42", kSweep}, "--to: 42");
    fails({"--chart", kChart, "--from", "42", "--to", "44", kSweep}, "--band: is missing");
    fails({"--chart", kChart, "--band", "9", "--from", "42", "--to", "44", kSweep}, "band");
    fails({"--chart", kChart, "--band", "2", "--from", "42", "--to", "444", kSweep},
          "division 444 is not on the dial");
    fails({"--chart", kChart, "--band", "2", "--from", "42", "--to", "42.1", kSweep},
          "the dial moves by");
    fails({"--chart", kChart, "--band", "2", "--marks", bad, kSweep}, "bad.csv:2");
    fails({"--chart", kChart, "--band", "2", "--marks", bad, "--from", "42", kSweep}, "--marks");
    fails({"--chart", kChart, "--band", "2", "--marks", bad, "--live"}, "--marks");
    fails({"--chart", kChart, "--from", "42", "--to", "44", "--map", map, kSweep},
          "--expect: is missing");
    fails(
        {"--chart", kChart, "--from", "42", "--to", "44", "--expect", "3.8", "--map", map, kSweep},
        "map.json");
    fails({"--chart", kChart, "--from", "42", "--to", "44", "--expect", "77", kSweep}, "77");
    fails({"--chart", kChart, "--band", "2", "--from", "42", "--to", "44", "--live"},
          "--pace: is missing");
    fails({"--chart", kChart, "--band", "2", "--from", "42", "--to", "44", "--press", kSweep},
          "--press: allowed with --live");
    fails({"--chart", kChart, "--band", "2", "--from", "42", "--to", "44", "--step", "0.1",
           "--pace", "2", kSweep},
          "--step: allowed without");
    fails({"--chart", kChart, "--band", "2", "--from", "42", "--to", "44", "--call", "Q V", kSweep},
          "call 'Q V'");
    fails({"--chart", kChart, "--band", "2", "--marks", file("late.csv", "0,42\n28,43\n600,44\n"),
           kSweep},
          "mark at 600 s");
    fails({"--chart", kChart, "--band", "2", "--from", "42", "--to", "44", "no-such.flac"},
          "no-such.flac");
    fails({"--chart", "no-such.toml", "--band", "2", "--from", "42", "--to", "44", kSweep},
          "no-such.toml");
    fails({"--chart", kChart, "--band", "2", "--from", "42", "--to", "44", kSweep, kSweep},
          "INPUT: 2 files");
}

// Three rests of 10 s on a station that calls, and then the way back to its pitch.
TEST_F(SweepVerb, StopsHearACallAndTheWayBackIsLed) {
    const std::string audio = (folder_ / "rests.wav").string();
    ASSERT_EQ(run_skedlark({"key", "VVV DE QVB QVB QVB VVV DE QVB QVB QVB VVV DE QVB QVB QVB",
                            "--out", audio, "--pitch", "900", "--wpm", "16", "--snr-2500hz", "3"})
                  .status,
              0);
    const std::string map = (folder_ / "map.json").string();
    const std::vector<std::string> arguments{
        "--chart", kChart, "--from",   "42.7",   "--to",  "42.9", "--step", "0.1", "--rest", "10",
        "--move",  "1",    "--expect", "3.7985", "--map", map,    "--call", "qvb", audio};
    const Ended told = sweep(arguments);
    EXPECT_EQ(told.status, 0) << told.error;
    EXPECT_NE(told.out.find("at rest, 900 Hz; QVB"), std::string::npos) << told.out;
    EXPECT_NE(told.error.find("-- QVB copied"), std::string::npos) << told.error;
    std::istringstream lines(told.out + told.error);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 81U) << line;
    auto as_json = arguments;
    as_json.insert(as_json.end() - 1, "--json");
    const Ended ended = sweep(as_json);
    const auto stations = events_of(json_lines(ended.out), "station");
    ASSERT_FALSE(stations.empty()) << ended.out << ended.error;
    EXPECT_NEAR(stations[0].at("pitch_hz").get<double>(), 900.0, 3.0);
    EXPECT_TRUE(stations[0].at("zero_beat_s").is_null());
    EXPECT_EQ(stations[0].at("call").at("call"), "QVB");
    const auto led = events_of(json_lines(ended.out), "zero_in");
    ASSERT_FALSE(led.empty()) << ended.out;
    EXPECT_NEAR(led[0].at("off_hz").get<double>(), 200.0, 20.0);
    EXPECT_EQ(led[0].at("sure"), false);
    EXPECT_GT(led[0].at("at_s").get<double>(), 32.0);
}

TEST_F(SweepVerb, ASweepIsLoggedWhereThatIsAskedFor) {
    const std::string log = (folder_ / "log.db").string();
    const Ended ended =
        sweep({"--chart", kChart, "--band", "2", "--from", "42", "--to", "44", "--log",
               "--log-file", log, "--who", "Ann", "--contact", "evening", kSweep});
    EXPECT_EQ(ended.status, 0) << ended.error;
    const Ended shown = run_skedlark({"log", "--json", "--log-file", log});
    const auto entries = json_lines(shown.out);
    ASSERT_EQ(entries.size(), 1U) << shown.out << shown.error;
    EXPECT_EQ(entries[0].at("contact"), "evening");
    EXPECT_EQ(entries[0].at("outcome"), "heard");
    EXPECT_EQ(entries[0].at("stations").size(), 4U);
    bool placed = false;
    for (const auto& one : entries[0].at("measurements"))
        placed = placed || (one.at("name") == "station_2_div" &&
                            std::abs(one.at("value").get<double>() - true_divs()[1]) < 0.01);
    EXPECT_TRUE(placed) << shown.out;
}

TEST_F(SweepVerb, NothingHeardIsANo) {
    const Ended ended =
        run_shell("head -c 960000 /dev/zero | \"$SKEDLARK\" sweep --chart '" + kChart +
                  "' --band 2 --from 42 --to 44 --pace 2 --json --raw 8000 -");
    EXPECT_EQ(ended.status, 1) << ended.error;
    const auto lines = json_lines(ended.out);
    ASSERT_EQ(lines.size(), 1U);
    EXPECT_EQ(lines[0].at("stations"), 0);
    EXPECT_TRUE(lines[0].at("go_back_div").is_null());
}

}  // namespace
}  // namespace skedlark::test
