// skedlark dial from outside: settings, plans, charts from pairs, everything wrong with them; and the
// same receiver file on contact cards.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/cli/program.h"

namespace skedlark::test {
namespace {

const std::string kChart = EXAMPLE_CHART;

Ended dial(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), {"dial"});
    return run_skedlark(arguments);
}
Ended chart(std::vector<std::string> arguments) {
    arguments.insert(arguments.begin(), {"--chart", kChart});
    return dial(arguments);
}

void expect_has(const std::string& text, const std::vector<std::string>& parts) {
    for (const std::string& part : parts) {
        EXPECT_NE(text.find(part), std::string::npos) << part << " is not in\n" << text;
    }
}
void expect_80_columns(const std::string& text) {
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
}

nlohmann::json only(const Ended& ended) {
    const auto lines = json_lines(ended.out);
    EXPECT_EQ(lines.size(), 1U) << ended.out << ended.error;
    return lines.empty() ? nlohmann::json() : lines.front();
}

class DialFiles : public ::testing::Test {
 protected:
    void SetUp() override {
        std::string name = (std::filesystem::temp_directory_path() / "dial_test_XXXXXX").string();
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

TEST(DialVerb, ASettingIsToldWithItsPlan) {
    const Ended ended = chart({"--mhz", "3.57", "--window", "3"});
    EXPECT_EQ(ended.status, 0) << ended.error;
    expect_has(ended.out, {"3.5700 MHz, band 2", "zero beat", "kHz to a division", "(95 %)",
                           "divisions a minute", "in 3 min the best is", "chance so far"});
    expect_80_columns(ended.out);
}

TEST(DialVerb, ThereAndBackWithinAHundredthOfADivision) {
    // 3.614 MHz stands at 36 in the example's chart.
    EXPECT_NEAR(only(chart({"--mhz", "3.614", "--json"}))["div"], 36.0, 1e-3);
    for (const char* mhz : {"2.95", "3.57", "4.128", "5.195"}) {
        const auto setting = only(chart({"--mhz", mhz, "--band", "2", "--json"}));
        const auto place = only(chart(
            {"--div", std::to_string(setting["div"].get<double>()), "--band", "2", "--json"}));
        EXPECT_NEAR(place["mhz"], std::stod(mhz),
                    0.01 * 1e-3 * setting["khz_per_div"].get<double>());
    }
}

TEST(DialVerb, LimitsAndSpeedFollowTheOptions) {
    const auto usual = only(chart({"--mhz", "3.57", "--json"}));
    const double div = usual["div"];
    EXPECT_NEAR(usual["sweep"]["from_div"], div - 2.0, 1e-3);
    const auto wide = only(chart({"--mhz", "3.57", "--json", "--each-side", "3"}));
    EXPECT_NEAR(wide["sweep"]["to_div"], div + 3.0, 1e-3);
    const auto asked = only(chart({"--mhz", "3.57", "--json", "--limits", "90"}));
    // 1.6449: two-sided 90 % of a normal.
    EXPECT_NEAR(asked["sweep"]["to_div"], div + 1.6449 * usual["sd_div"].get<double>(), 2e-3);
    const auto weak = only(chart({"--mhz", "3.57", "--json", "--snr", "-12"}));
    EXPECT_LT(weak["sweep"]["div_per_min"], usual["sweep"]["div_per_min"]);
    const Ended lost = chart({"--mhz", "3.57", "--snr", "-50"});
    EXPECT_EQ(lost.status, 1);
    expect_has(lost.out, {"too weak"});
}

TEST(DialVerb, KnownStationsMoveItAndAMisfitIsNamed) {
    const double plain = only(chart({"--mhz", "5", "--json"}))["div"];
    const auto known = [&](double mhz, double off) {
        const double at =
            only(chart({"--mhz", std::to_string(mhz), "--band", "2", "--json"}))["div"];
        return std::to_string(mhz) + "=" + std::to_string(at + off);
    };
    const auto moved = only(chart({"--mhz", "5", "--json", "--known", known(5.0, 0.5)}));
    EXPECT_NEAR(moved["div"], plain + 0.5, 1e-3);
    const Ended misfit =
        chart({"--mhz", "4.6", "--band", "2", "--known", known(3.2, 0.4), "--known",
               known(3.8, 0.4), "--known", known(4.4, 0.4), "--known", known(5.0, 5.0)});
    EXPECT_EQ(misfit.status, 1) << misfit.error;
    expect_has(misfit.out, {"5.0000 MHz", "does not fit"});
    expect_80_columns(misfit.out);
}

TEST(DialVerb, BandsAndStandardFrequenciesAreOffered) {
    const Ended ended = chart({});
    EXPECT_EQ(ended.status, 0);
    expect_has(ended.out, {"band 1", "band 2", "band 3", "2.5 MHz, a standard frequency",
                           "5 MHz, a standard", "10 MHz, a standard"});
    expect_80_columns(ended.out);
}

TEST_F(DialFiles, AChartFromPairsIsAReceiverFile) {
    const std::string pairs = file("measured.csv",
                                   "division,MHz\n96,5.468\n3,2.924\n14,3.112\n25,3.345\n36,3.614\n"
                                   "47,3.917\n58,4.247\n69,4.594\n80,4.952\n91,5.311\n");
    const std::string out = (folder_ / "set.toml").string();
    const Ended made = dial({"--pairs", pairs, "--band", "2", "--name", "Hut", "--out", out});
    EXPECT_EQ(made.status, 0) << made.error;
    expect_has(made.out, {"band 2: 10 pairs", "no neighbour"});
    const auto setting = only(dial({"--chart", out, "--mhz", "3.614", "--json"}));
    EXPECT_NEAR(setting["div"], 36.0, 1e-3);
    EXPECT_EQ(setting["receiver"], "Hut");
    // Added to a receiver that is there: the other bands stay.
    const Ended added = dial({"--pairs", pairs, "--band", "2b", "--chart", kChart, "--out", out});
    EXPECT_EQ(added.status, 0) << added.error;
    EXPECT_EQ(json_lines(dial({"--chart", out, "--json"}).out).size(), 4U);
}

TEST_F(DialFiles, AWrongPairIsNamed) {
    const std::string pairs = file("measured.csv",
                                   "3,2.924\n14,3.112\n25,3.345\n36,3.614\n47,3.917\n64,4.247\n"
                                   "69,4.594\n80,4.952\n91,5.311\n96,5.468\n");
    const Ended made = dial({"--pairs", pairs, "--band", "2"});
    EXPECT_EQ(made.status, 1) << made.error;
    expect_has(made.out, {"64.00    4.2470", "does not fit, left out"});
}

TEST_F(DialFiles, WhatIsWrongIsNamedAndNothingIsHarmed) {
    const std::string falls = file("falls.csv", "3,2.924\n14,3.112\n25,3.0\n36,3.614\n");
    const std::string two = file("two.csv", "3,2.924\n14,3.112\n");
    const std::string twice = file("twice.csv", "3,2.924\n14,3.112\n14,3.2\n36,3.614\n");
    const std::string words = file("words.csv", "3,2.924\n14,loud\n25,3.3\n");
    const std::string kept = file("kept.toml", "mine\n");
    struct Case {
        std::vector<std::string> arguments;
        std::vector<std::string> said;
    };
    const std::vector<Case> cases{
        {{"--mhz", "3.57"}, {"--chart", "missing"}},
        {{"--chart", "/no/such.toml"}, {"/no/such.toml"}},
        {{"--chart", kept}, {"kept.toml:1"}},
        {{"--chart", kChart, "--mhz", "14"}, {"14 MHz", "1 (1.6 to 3.05 MHz)", "3 (5.2 to"}},
        {{"--chart", kChart, "--mhz", "3.57", "--band", "9"}, {"'9'", "bands: 1"}},
        {{"--chart", kChart, "--mhz", "-3"}, {"--mhz"}},
        {{"--chart", kChart, "--mhz", "nan"}, {"--mhz"}},
        {{"--chart", kChart, "--div", "20"}, {"--band", "missing", "bands: 1"}},
        {{"--chart", kChart, "--div", "120", "--band", "2"}, {"120", "0 to 100"}},
        {{"--chart", kChart, "--div", "20", "--mhz", "3.57"}, {"--div"}},
        {{"--chart", kChart, "--mhz", "3.57", "--known", "5"}, {"--known: '5'", "MHZ=DIV"}},
        {{"--chart", kChart, "--mhz", "3.57", "--known", "nan=57"}, {"nan"}},
        {{"--chart", kChart, "--mhz", "3.57", "--known", "5=-700"}, {"-700"}},
        {{"--chart", kChart, "--mhz", "3.57", "--window", "-1"}, {"--window"}},
        {{"--chart", kChart, "--mhz", "3.57", "--detection", falls}, {"falls.csv:1"}},
        {{"--pairs", falls, "--band", "2", "--out", kept}, {"falls.csv", "point 3"}},
        {{"--pairs", two, "--band", "2", "--out", kept}, {"two.csv", "2 points"}},
        {{"--pairs", twice, "--band", "2", "--out", kept}, {"twice.csv", "14"}},
        {{"--pairs", words, "--band", "2", "--out", kept}, {"words.csv:2", "loud"}},
        {{"--pairs", falls}, {"--band"}},
    };
    for (const Case& one : cases) {
        const Ended ended = dial(one.arguments);
        EXPECT_EQ(ended.status, 2) << ended.out << ended.error;
        expect_has(ended.error, one.said);
    }
    std::ifstream in(kept);
    std::string content;
    std::getline(in, content);
    EXPECT_EQ(content, "mine");
}

TEST(DialVerb, HelpHasAnExample) {
    const Ended ended = dial({"--help"});
    EXPECT_EQ(ended.status, 0);
    expect_has(ended.out, {"skedlark dial --chart", "Exit status", "--known", "--window"});
}

TEST(DialVerb, TheCardOfAContactHasTheDial) {
    const Ended ended =
        run_skedlark({"sked", EXAMPLE_PLAN, "--chart", kChart, "--at", "2026-11-26T17:00Z"});
    EXPECT_EQ(ended.status, 0) << ended.error;
    expect_has(ended.out, {"band 2, division 34.3, sweep 32.3 to 36.3", "division 87.4"});
    EXPECT_EQ(ended.out.find("no receiver file"), std::string::npos);
    expect_80_columns(ended.out);
    const auto dial_at = [](const char* snr_2500hz_db) {
        const auto cards = events_of(
            json_lines(run_skedlark({"sked", EXAMPLE_PLAN, "--chart", kChart, "--at",
                                     "2026-11-26T17:00Z", "--json", "--snr", snr_2500hz_db})
                           .out),
            "contact");
        EXPECT_EQ(cards.size(), 1U);
        return cards[0]["legs"][0]["dial"];
    };
    const auto strong = dial_at("-8");
    const auto weak = dial_at("-12");
    EXPECT_EQ(weak["band"], "2");
    EXPECT_GT(weak["sweep_min"].get<double>(), 1.5 * strong["sweep_min"].get<double>());
    const Ended wrong = run_skedlark({"sked", EXAMPLE_PLAN, "--chart", "/no/such.toml"});
    EXPECT_EQ(wrong.status, 2);
    expect_has(wrong.error, {"/no/such.toml"});
}

}  // namespace
}  // namespace skedlark::test
