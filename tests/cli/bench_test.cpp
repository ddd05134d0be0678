// skedlark bench from outside: figures, limits, the chain, exit statuses, everything wrong.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstring>
#include <sstream>

#include "tests/cli/bench_program.h"
#include "tests/dsp/bench/test_series.h"
#include "tests/dsp/bench/test_tone.h"

namespace skedlark::test {
namespace {

using bench::test::made;
using bench::test::TestTone;

class Bench : public ::testing::Test {
 protected:
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

// SINAD and THD of the same file by SciPy: spectrum under a Blackman-Harris window, the tone's bins and its
// harmonics' summed up.
TEST_F(Bench, AsScipyComputesIt) {
    const auto audio =
        made({.harmonics = {{2, 0.02, 0.4}, {3, 0.01, 1.0}}, .snr_db = 30.0, .seed = 12});
    const std::string file = folder_.put("tone.raw", raw(audio));
    const std::string script = folder_.put("figures.py", R"(
import sys, numpy, scipy.signal
x = numpy.fromfile(sys.argv[1], '<i2') / 32767.0
f, p = scipy.signal.periodogram(x, 8000, 'blackmanharris', detrend='constant')
line = lambda hz: p[abs(f - hz) < 0.6].sum()
peak = f[p.argmax()]
harmonics = sum(line(n * peak) for n in range(2, 6))
rest = p[(f > 50) & (abs(f - peak) > 0.6)].sum()
print(10 * numpy.log10((line(peak) + rest) / rest), 10 * numpy.log10(harmonics / line(peak)))
)");
    const Ended theirs = run_shell("/usr/bin/python3 " + script + " " + file);
    ASSERT_EQ(theirs.status, 0) << "needs /usr/bin/python3 with python3-scipy: " << theirs.error;
    double sinad_db = 0.0, thd_db = 0.0;
    std::istringstream(theirs.out) >> sinad_db >> thd_db;
    const Ended ours = run_skedlark({"bench", "tone", file, "--raw", "8000", "--json"});
    // The noise in the bins of the lines is counted by one side and not by the other: some 0.02 dB.
    EXPECT_NEAR(value(ours, "sinad_db"), sinad_db, 0.05);
    EXPECT_NEAR(value(ours, "thd_db"), thd_db, 0.15);
}

TEST_F(Bench, SensitivityFromOnAndOffAndFromASeries) {
    const std::vector<bench::test::TestStep> steps{
        {8.0, {}}, {6.0, -114.0}, {6.0, -110.0}, {6.0, -106.0}, {6.0, -102.0}};
    const auto series = bench::test::made(bench::test::TestReceiver{.seed = 5}, steps);
    const std::string levels = folder_.put(
        "levels.csv", "seconds,dbm\n0,off\n8,-114\n14,-110\n20,-106\n26,-102\n32,end\n");
    const Ended json = bench("sensitivity", series, {"--levels", levels, "--json"});
    EXPECT_EQ(json.status, 0) << json.error << json.out;
    EXPECT_NEAR(value(json, "level_for_10db_dbm"), -110.46, 0.2);
    EXPECT_NEAR(value(json, "level_for_sinad_12db_dbm"), -108.28, 0.2);
    const auto on_off =
        bench::test::made(bench::test::TestReceiver{.seed = 5}, {{8.0, {}}, {8.0, -108.0}});
    const Ended text = bench("sensitivity", on_off);
    EXPECT_EQ(text.status, 0) << text.error;
    EXPECT_NE(text.out.find("(S+N)/N"), std::string::npos);
    EXPECT_NE(text.error.find("Caution"), std::string::npos);
    expect_80_columns(text.out);
    expect_80_columns(text.error);
    expect_refused(bench("sensitivity", made({.snr_db = 10.0})), "same all through");
    const std::string falling = folder_.put("falling.csv", "seconds,dbm\n0,off\n8,-100\n14,-110\n");
    expect_refused(bench("sensitivity", series, {"--levels", falling}), "must rise");
}

TEST_F(Bench, HumWithItsCautionAndHint) {
    auto audio = made({.pitch_hz = 712.0, .snr_db = 40.0});
    for (std::size_t n = 0; n < audio.size(); ++n) {
        audio[n] += 0.02F * static_cast<float>(std::sin(2.0 * std::numbers::pi * 100.2 *
                                                        static_cast<double>(n) / 8000.0));
    }
    const Ended json = bench("hum", audio, {"--json"});
    EXPECT_EQ(json.status, 1)
        << json.error;  // 23.5 dB below the tone: over the project's own limit
    EXPECT_NEAR(value(json, "supply_hz"), 50.1, 0.01);
    EXPECT_NEAR(value(json, "hum_dbfs"), 20.0 * std::log10(0.02), 0.2);
    const Ended text = bench("hum", audio);
    EXPECT_NE(text.out.find("full-wave"), std::string::npos) << text.out;
    EXPECT_NE(text.error.find("isolation"), std::string::npos);
    expect_80_columns(text.out);
    expect_refused(bench("hum", made({.seconds = 2.0})), "5");
}

// A set whose hum was cured: SINAD and tone level from closed forms of the made tone, noise alone different.
TEST_F(Bench, SheetsInTheLogBeforeAndAfterARepair) {
    const std::string log = folder_.path("log.db");
    const std::vector<std::string> kept = {"--log", "--log-file", log, "--receiver", "set 2"};
    const Ended before = bench("tone", made({.snr_db = 15.0}), kept);
    EXPECT_EQ(before.status, 0) << before.error;
    EXPECT_NE(before.error.find("entry 1 of the log"), std::string::npos) << before.error;
    expect_80_columns(before.out);
    EXPECT_EQ(bench("tone", made({.snr_db = 25.0, .seed = 7}), kept).status, 0);
    EXPECT_EQ(bench("tone", made({.snr_db = 15.0, .seed = 9}), kept).status, 0);
    EXPECT_EQ(bench("hum", made({.pitch_hz = 712.0, .snr_db = 40.0}), kept).status, 0);
    const Ended plain = run_skedlark({"bench", "tone", "-", "--raw", "8000", "--json"},
                                     {.input = raw(made({.snr_db = 15.0}))});

    const auto entries =
        json_lines(run_skedlark({"log", "--kind", "bench", "--log-file", log, "--json"}).out);
    ASSERT_EQ(entries.size(), 4U);
    EXPECT_EQ(entries[0]["kind"], "bench");
    EXPECT_EQ(entries[0]["receiver"], "set 2");
    EXPECT_EQ(entries[0]["input"], "standard input");
    EXPECT_EQ(entries[0]["outcome"], "pass");
    const auto measured = events_of(json_lines(plain.out), "measurement");
    ASSERT_EQ(entries[0]["measurements"].size(), measured.size());
    for (std::size_t i = 0; i < measured.size(); ++i) {
        const auto& logged = entries[0]["measurements"][i];
        const std::string name = "tone." + measured[i]["name"].get<std::string>();
        EXPECT_EQ(logged["name"].get<std::string>().substr(0, name.size()), name);
        EXPECT_NEAR(logged["value"].get<double>(), measured[i]["value"].get<double>(), 1e-3)
            << name;
        EXPECT_EQ(logged["uncertainty_95"].is_null(), measured[i]["known"] != "value") << name;
        EXPECT_EQ(logged["pass"], measured[i]["pass"]) << name;
    }
    const Ended table = run_skedlark({"log", "--kind", "bench", "--log-file", log});
    EXPECT_NE(table.out.find("tone, set 2"), std::string::npos) << table.out;
    EXPECT_NE(table.out.find("hum, set 2"), std::string::npos) << table.out;

    const auto changes = [&](const char* ids) {
        return json_lines(run_skedlark({"log", "--log-file", log, "--changed", ids, "--json"}).out);
    };
    const auto find = [](const std::vector<nlohmann::json>& lines, const std::string& name) {
        for (const auto& line : lines) {
            if (line["name"] == name) return line;
        }
        return nlohmann::json{};
    };
    const auto sinad = find(changes("1,2"), "sinad_db");
    ASSERT_TRUE(sinad.is_object());
    EXPECT_EQ(sinad["changed"], true);
    // (S+N)/N of both, of made noise: 10 lg(1 + 10^2.5) - 10 lg(1 + 10^1.5) = 9.88 dB.
    EXPECT_NEAR(sinad["difference"].get<double>(), 9.88, 0.3);
    EXPECT_GT(sinad["difference_95"].get<double>(), sinad["after"]["uncertainty_95"].get<double>());
    EXPECT_EQ(find(changes("1,2"), "pitch_hz")["changed"], false);
    EXPECT_EQ(find(changes("1,3"), "sinad_db")["changed"], false);
    const Ended text = run_skedlark({"log", "--log-file", log, "--changed", "1,2"});
    EXPECT_EQ(text.status, 0) << text.error;
    EXPECT_NE(text.out.find("CHANGED"), std::string::npos) << text.out;
    EXPECT_NE(text.out.find("not changed"), std::string::npos) << text.out;
    expect_80_columns(text.out);

    const auto refused = [&](const char* ids, const char* part) {
        expect_refused(run_skedlark({"log", "--log-file", log, "--changed", ids}), part);
    };
    refused("1,4", "hum");
    refused("1,1", "two different");
    refused("1", "two different");
    refused("1,2,3", "two different");
    refused("one,two", "two different");
    refused("1,99", "no entry 99");
    EXPECT_EQ(run_skedlark({"log", "--log-file", log, "--missed", "evening"}).status, 0);
    refused("1,5", "no sheet of the bench");
}

TEST_F(Bench, ALogThatCannotBeWrittenLosesNoFigure) {
    const std::string file = folder_.put("log.db", "this is no log");
    const Ended ended = bench("tone", made({.snr_db = 20.0}), {"--log", "--log-file", file});
    EXPECT_EQ(ended.status, 0) << ended.error;
    EXPECT_NE(ended.out.find("SINAD"), std::string::npos);
    EXPECT_NE(ended.error.find("not logged"), std::string::npos) << ended.error;
    EXPECT_EQ(content_of(file), "this is no log");
    expect_refused(bench("tone", made({.snr_db = 20.0}), {"--receiver", "set 2"}), "--log");
}

// Tone of 0.2 peak, then 0.1: 20 lg 0.2 = -13.98 dBFS held, the rest 20 lg 2 = 6.02 dB below it.
TEST_F(Bench, PeakHoldsTheHighest) {
    auto audio = made({.seconds = 3.0, .amplitude = 0.2, .snr_db = 60.0});
    const auto lower = made({.seconds = 2.5, .amplitude = 0.1, .snr_db = 60.0});
    audio.insert(audio.end(), lower.begin(), lower.end());
    const Ended json = bench("peak", audio, {"--json"});
    EXPECT_EQ(json.status, 0) << json.error;
    EXPECT_NE(json.error.find("isolation"), std::string::npos);
    const auto lines = events_of(json_lines(json.out), "peak");
    ASSERT_EQ(lines.size(), 6U) << "one a second, and the half at the end";
    for (std::size_t i = 0; i < lines.size(); ++i) {
        EXPECT_DOUBLE_EQ(lines[i]["at_s"].get<double>(), std::min(5.5, 1.0 + double(i)));
        EXPECT_NEAR(lines[i]["held_dbfs"].get<double>(), -13.98, 0.1);
        EXPECT_FALSE(lines[i]["clipped"].get<bool>());
    }
    EXPECT_NEAR(lines[2]["below_db"].get<double>(), 0.0, 0.1);
    EXPECT_NEAR(lines[5]["below_db"].get<double>(), 6.02, 0.1);
    const Ended text = bench("peak", audio);
    EXPECT_EQ(std::count(text.out.begin(), text.out.end(), '\n'), 6);
    EXPECT_EQ(text.out.find('\x1b'), std::string::npos) << "no redrawing where it is no terminal";
    // Half a decibel a mark: 12 of 40 marks are gone.
    EXPECT_NE(text.out.find("-6.0 dB [" + std::string(28, '#') + std::string(12, '.') + "]"),
              std::string::npos)
        << text.out;
    expect_80_columns(text.out);
    EXPECT_EQ(events_of(json_lines(bench("peak", audio, {"--json", "--seconds", "2"}).out), "peak")
                  .size(),
              2U);
    audio[8000 + 100] = 1.0F;
    const auto clipped = events_of(json_lines(bench("peak", audio, {"--json"}).out), "peak");
    EXPECT_FALSE(clipped[0]["clipped"].get<bool>());
    EXPECT_TRUE(clipped[1]["clipped"].get<bool>());
    EXPECT_FALSE(clipped[2]["clipped"].get<bool>());
    expect_refused(run_skedlark({"bench", "peak", "/nowhere.wav"}), "/nowhere.wav");
    expect_refused(run_skedlark({"bench", "peak"}), "INPUT is missing");
    EXPECT_EQ(bench("peak", {}).status, 2);
    EXPECT_EQ(bench("peak", audio, {"--rise", "9"}).status, 2);
}

TEST_F(Bench, TheFaultGuideIsPrintedWithItsCautions) {
    const Ended guide = run_skedlark({"bench", "faults"});
    EXPECT_EQ(guide.status, 0) << guide.error;
    EXPECT_EQ(guide.out.rfind("# Where to look", 0), 0U);
    for (const char* part : {"Valves fail first", "isolation transformer", "people licensed"})
        EXPECT_NE(guide.out.find(part), std::string::npos) << part;
}

TEST_F(Bench, HelpNamesTheLimitsAndTheCautions) {
    EXPECT_NE(run_skedlark({"bench", "hum", "--help"}).out.find("people licensed"),
              std::string::npos);
    for (const std::string test : {"tone", "chain", "hum", "sensitivity"}) {
        const Ended help = run_skedlark({"bench", test, "--help"});
        EXPECT_EQ(help.status, 0);
        EXPECT_NE(help.out.find("Names for --limits"), std::string::npos) << test;
        EXPECT_NE(help.out.find("Example"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::test
