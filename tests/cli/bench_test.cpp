// skedlark bench from outside: figures, limits, the chain, exit statuses, everything wrong.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstring>
#include <sstream>

#include "tests/cli/program.h"
#include "tests/dsp/bench/test_tone.h"

namespace skedlark::test {
namespace {

using bench::test::made;
using bench::test::TestTone;

std::string raw(const std::vector<float>& audio) {
    std::string bytes;
    for (const float x : audio) {
        const auto value = static_cast<std::int16_t>(
            std::lround(std::clamp(static_cast<double>(x), -1.0, 1.0) * 32767.0));
        bytes += static_cast<char>(value & 0xFF);
        bytes += static_cast<char>((value >> 8) & 0xFF);
    }
    return bytes;
}

class Bench : public ::testing::Test {
 protected:
    // Audio at 8000 Hz on standard input.
    static Ended bench(const std::string& test, const std::vector<float>& audio,
                       std::vector<std::string> more = {}) {
        more.insert(more.begin(), {"bench", test, "-", "--raw", "8000"});
        return run_skedlark(more, {.input = raw(audio)});
    }
    static double value(const Ended& ended, const std::string& name) {
        for (const auto& line : events_of(json_lines(ended.out), "measurement")) {
            if (line["name"] == name) return line["value"];
        }
        ADD_FAILURE() << name << " is not in\n" << ended.out << ended.error;
        return 0.0;
    }
    static void expect_refused(const Ended& ended, const std::string& part) {
        EXPECT_EQ(ended.status, 2) << ended.out;
        EXPECT_NE(ended.error.find(part), std::string::npos) << part << " not in " << ended.error;
        EXPECT_EQ(ended.out, "");
    }
    TempFolder folder_;
};

void expect_80_columns(const std::string& text) {
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
}

TEST_F(Bench, AToneAsTextAndAsJson) {
    const auto audio = made({.snr_db = 20.0});
    const Ended text = bench("tone", audio);
    EXPECT_EQ(text.status, 0) << text.error;
    EXPECT_NE(text.out.find("SINAD"), std::string::npos);
    expect_80_columns(text.out);
    const Ended json = bench("tone", audio, {"--json"});
    EXPECT_NEAR(value(json, "sinad_db"), 20.04, 0.15);
    EXPECT_NEAR(value(json, "pitch_hz"), 700.0, 0.01);
    const auto lines = json_lines(json.out);
    EXPECT_EQ(lines.front()["event"], "input");
    EXPECT_EQ(lines.back()["event"], "bench");
    EXPECT_EQ(lines.back()["pass"], true);
    for (const auto& line : events_of(lines, "measurement")) {
        for (const char* field : {"test", "name", "value", "uncertainty_95", "limit", "pass"})
            EXPECT_TRUE(line.contains(field)) << line;
    }
}

TEST_F(Bench, LimitsDecideTheStatus) {
    const auto audio = made({.snr_db = 20.0});
    const std::string loose = folder_.put("loose.toml", "[tone]\nsinad_db = { min = 15 }\n");
    const std::string strict = folder_.put("strict.toml", "[tone]\nsinad_db = { min = 25 }\n");
    const std::string wrong = folder_.put("wrong.toml", "[tone]\nloudness = { min = 25 }\n");
    EXPECT_EQ(bench("tone", audio, {"--limits", loose}).status, 0);
    const Ended missed = bench("tone", audio, {"--limits", strict});
    EXPECT_EQ(missed.status, 1);
    EXPECT_NE(missed.out.find("MISSED"), std::string::npos);
    const Ended json = bench("tone", audio, {"--limits", strict, "--json"});
    for (const auto& line : events_of(json_lines(json.out), "measurement")) {
        if (line["name"] != "sinad_db") continue;
        EXPECT_EQ(line["limit"], 25.0);
        EXPECT_EQ(line["pass"], false);
        EXPECT_EQ(line["limit_from"], "file");
    }
    const Ended refused = bench("tone", audio, {"--limits", wrong});
    expect_refused(refused, "wrong.toml:2");
    expect_refused(refused, "loudness");
    expect_refused(refused, "sinad_db");
    expect_refused(bench("tone", audio, {"--limits", "/nowhere.toml"}), "/nowhere.toml");
}

TEST_F(Bench, BadAudioGetsASentence) {
    expect_refused(bench("tone", made({.seconds = 1.0})), "too short");
    expect_refused(bench("tone", std::vector<float>(80000)), "no tone");
    expect_refused(bench("tone", {}), "no audio");
    expect_refused(bench("tone", made({.pitch_hz = 2995.0}), {"--high", "3000"}), "edge");
    std::vector<float> loud = made({.amplitude = 1.5, .snr_db = 30.0});
    expect_refused(bench("tone", loud), "clips");
    auto two = made({.snr_db = 30.0});
    const auto second = made({.pitch_hz = 1030.0});
    for (std::size_t n = 0; n < two.size(); ++n) two[n] += second[n];
    expect_refused(bench("tone", two), "two tones");
    EXPECT_EQ(bench("tone", two, {"--pitch", "700"}).status, 1);  // but SINAD is near 0 dB
    expect_refused(run_skedlark({"bench", "tone"}), "INPUT is missing");
    expect_refused(run_skedlark({"bench", "tone", "a.wav", "b.wav"}), "one input");
    expect_refused(run_skedlark({"bench", "tone", "/nowhere.wav"}), "/nowhere.wav");
    EXPECT_EQ(run_skedlark({"bench"}).status, 2);
    EXPECT_EQ(run_skedlark({"bench", "sofa", "x.wav"}).status, 2);
}

TEST_F(Bench, TheChainIsSavedAndNamed) {
    const std::string file = folder_.path("lead.toml");
    const auto tone = made({.pitch_hz = 999.96, .snr_db = 70.0});
    const Ended chain = bench("chain", tone,
                              {"--reference-hz", "1000", "--name", "lead A", "--save", file,
                               "--full-scale-volts", "2", "--json"});
    EXPECT_EQ(chain.status, 0) << chain.error << chain.out;
    EXPECT_NEAR(value(chain, "clock_ppm"), 40.0, 0.2);
    const Ended with = bench("tone", made({.snr_db = 20.0}), {"--chain", file, "--json"});
    EXPECT_EQ(with.status, 0) << with.error;
    EXPECT_NEAR(value(with, "pitch_hz"), 700.028, 0.002);
    // 0.3 of 2 V peak.
    EXPECT_NEAR(value(with, "level_volts"), 0.3 * 2.0 / std::sqrt(2.0), 0.005);
    for (const auto& line : events_of(json_lines(with.out), "measurement"))
        EXPECT_EQ(line["chain"], "lead A");
    const std::string damaged = folder_.put("bad.toml", "format = \"skedlark-chain\"\n");
    expect_refused(bench("tone", tone, {"--chain", damaged}), "bad.toml");
}

TEST_F(Bench, HelpNamesTheLimits) {
    for (const std::string test : {"tone", "chain"}) {
        const Ended help = run_skedlark({"bench", test, "--help"});
        EXPECT_EQ(help.status, 0);
        EXPECT_NE(help.out.find("Names for --limits"), std::string::npos) << test;
        EXPECT_NE(help.out.find("Example"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::test
