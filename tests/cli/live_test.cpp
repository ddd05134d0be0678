// `copy --live` and `sweep --live` through a virtual sound card; runs inside `virtual-audio.sh run -- cli_live_test`.
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <thread>

#include "tests/cli/scenes.h"

namespace skedlark::test {
namespace {

constexpr const char* kText = "QVA7 DE QXB2 QXB2 = 3 MESSAGES FOR YOU K";

// A verb of the script; true where it worked.
bool card(const std::string& verb, const std::string& file = "") {
    std::vector<std::string> command{VIRTUAL_AUDIO_SCRIPT, verb};
    if (!file.empty()) {
        command.push_back(file);
    }
    ProgramOptions options;
    options.timeout_s = 120.0;
    return Running(command, options).wait().status == 0;
}

void pause_s(double seconds) {
    std::this_thread::sleep_for(std::chrono::duration<double>(seconds));
}

ProgramOptions long_lasting() {
    ProgramOptions options;
    options.timeout_s = 120.0;
    return options;
}

std::string text_of(const std::vector<nlohmann::json>& events) {
    std::string text;
    for (const auto& event : events_of(events, "char")) {
        text += event["char"].get<std::string>();
    }
    return text;
}

TEST(Live, TheTextIsThatOfTheFileAndNothingIsLost) {
    const TempFolder folder;
    const std::string file =
        keyed(folder, "a.wav", kText, {"--rate", "48000", "--wpm", "25", "--snr-2500hz", "15"});
    const std::string from_file = text_of(json_lines(run_skedlark({"copy", "--json", file}).out));
    EXPECT_EQ(from_file, kText);
    Running copying({skedlark_path(), "copy", "--json", "--live", "vcable_monitor"},
                    long_lasting());
    ASSERT_TRUE(copying.wait_for_output("\"input\"", 20.0));
    ASSERT_TRUE(card("play", file));
    pause_s(1.0);
    copying.signal(SIGINT);
    const Ended ended = copying.wait();
    EXPECT_EQ(ended.status, 0) << ended.error;
    const auto events = json_lines(ended.out);
    EXPECT_EQ(text_of(events), from_file);
    EXPECT_TRUE(events_of(events, "audio_lost").empty()) << ended.out;
    ASSERT_EQ(events.back()["event"], "summary");
    EXPECT_TRUE(events.front().contains("utc"));
    EXPECT_TRUE(events.back().contains("utc"));
}

TEST(Live, GoesOnAfterTheSoundServerWasKilled) {
    const TempFolder folder;
    const std::string file =
        keyed(folder, "a.wav", kText, {"--rate", "48000", "--wpm", "25", "--snr-2500hz", "15"});
    Running copying({skedlark_path(), "copy", "--json", "--live", "vcable_monitor"},
                    long_lasting());
    ASSERT_TRUE(copying.wait_for_output("\"input\"", 20.0));
    ASSERT_TRUE(card("play", file));
    pause_s(0.5);
    ASSERT_TRUE(card("kill"));
    ASSERT_TRUE(copying.wait_for_output("no audio comes in", 20.0));
    ASSERT_TRUE(card("restart"));
    ASSERT_TRUE(copying.wait_for_output("audio_lost", 20.0));
    ASSERT_TRUE(card("play", file));
    pause_s(1.0);
    copying.signal(SIGTERM);
    const Ended ended = copying.wait();
    EXPECT_EQ(ended.status, 0) << ended.error;
    const auto events = json_lines(ended.out);
    const std::string text = text_of(events);
    EXPECT_EQ(text.rfind(kText, 0), 0U) << text;
    EXPECT_EQ(text.find(kText, 10), text.size() - std::string(kText).size()) << text;
    const auto lost = events_of(events, "audio_lost");
    ASSERT_EQ(lost.size(), 1U);
    EXPECT_GT(lost[0]["to_s"].get<double>(), lost[0]["from_s"].get<double>());
}

// The first quarter of the demo sweep: past its broadcast, so that something was met but nothing
// keyed.
TEST(Live, ASweepPromptsAndMeetsWhatIsThere) {
    Running sweeping(
        {skedlark_path(), "sweep", "--json", "--chart", EXAMPLE_CHART, "--band", "2", "--from",
         "42", "--to", "42.5", "--pace", "2.142857", "--live", "vcable_monitor"},
        long_lasting());
    pause_s(5.5);
    const Running playing({VIRTUAL_AUDIO_SCRIPT, "play", EXAMPLE_SWEEP}, long_lasting());
    const Ended ended = sweeping.wait();
    EXPECT_EQ(ended.status, 1) << ended.error;
    EXPECT_NE(ended.error.find("Set the dial to 42.00"), std::string::npos) << ended.error;
    EXPECT_NE(ended.error.find("the dial should be at 42."), std::string::npos) << ended.error;
    const auto stations = events_of(json_lines(ended.out), "station");
    ASSERT_EQ(stations.size(), 1U) << ended.out;
    EXPECT_TRUE(stations[0]["broadcast"].get<bool>());
    // As far into the sweep as in the recording, but for when it began to play.
    EXPECT_NEAR(stations[0]["div"].get<double>(), 42.34, 0.08);
}

// Two presses of the space bar, as the audio begins and 14 s later.
TEST(Live, DivisionsAreMarkedByKey) {
    const TempFolder folder;
    const Ended ended = run_shell(
        "(sleep 2; printf ' '; sleep 14; printf ' ') | { (sleep 2; timeout 15 "
        "'" VIRTUAL_AUDIO_SCRIPT "' play '" EXAMPLE_SWEEP
        "' > /dev/null 2>&1) & exec \"$SKEDLARK\" sweep --json --chart '" EXAMPLE_CHART
        "' --band 2 --from 42 --to 42.5 --press --pace 2.1 --record '" +
            folder.path("") + "' --live vcable_monitor; }",
        long_lasting());
    EXPECT_EQ(ended.status, 1) << ended.error;
    EXPECT_NE(ended.error.find("press space at 42.5"), std::string::npos) << ended.error;
    const auto stations = events_of(json_lines(ended.out), "station");
    ASSERT_EQ(stations.size(), 1U) << ended.out << ended.error;
    EXPECT_NEAR(stations[0]["div"].get<double>(), 42.34, 0.08);
    // The marks stand beside the recording.
    const Ended marks = run_shell("cat '" + folder.path("") + "'/*.marks.csv");
    EXPECT_EQ(marks.out.rfind("seconds,division\n", 0), 0U) << marks.out;
    EXPECT_NE(marks.out.find(",42.5000"), std::string::npos) << marks.out;
}

// Sixteen seconds of 700 Hz at 48 kHz, 20 dB over noise that fills 300 to 2700 Hz.
std::string steady_tone(const TempFolder& folder) {
    const std::string file = folder.path("tone.wav");
    const Ended made = run_shell(
        "/usr/bin/python3 -c \"import math,random,struct,sys,wave\n"
        "random.seed(3)\nw=wave.open(sys.argv[1],'wb')\n"
        "w.setnchannels(1),w.setsampwidth(2),w.setframerate(48000)\n"
        "w.writeframes(b''.join(struct.pack('<h',round(9000*math.sin(2*math.pi*700*n/48000)"
        "+random.gauss(0,300))) for n in range(16*48000)))\" '" +
        file + "'");
    EXPECT_EQ(made.status, 0) << made.error;
    return file;
}

double bench_value(const Ended& ended, const std::string& name) {
    for (const auto& line : events_of(json_lines(ended.out), "measurement")) {
        if (line["name"] == name) return line["value"];
    }
    ADD_FAILURE() << name << " is not in " << ended.out << ended.error;
    return 0.0;
}

// The tone as it is in the file, through the card: 20 lg(9000 / 32768) = -11.22 dBFS. No figure of noise: a card
// made of software drops pieces on a busy machine.
TEST(Live, TheBenchMeasuresAToneAsItComes) {
    const TempFolder folder;
    const std::string file = steady_tone(folder);
    const Running playing({VIRTUAL_AUDIO_SCRIPT, "play", file}, long_lasting());
    pause_s(1.0);
    const Ended ended = run_skedlark(
        {"bench", "tone", "--json", "--seconds", "8", "--live", "vcable_monitor"}, long_lasting());
    EXPECT_EQ(ended.status, 0) << ended.error;
    EXPECT_NEAR(bench_value(ended, "pitch_hz"), 700.0, 0.1);
    EXPECT_NEAR(bench_value(ended, "level_dbfs"), -11.22, 0.2);
    EXPECT_NEAR(json_lines(ended.out).back()["seconds"].get<double>(), 8.0, 0.1);
}

// What was had before the device went is measured, and the exit status says that it was cut short.
TEST(Live, ABenchWhoseDeviceGoesAwayTellsWhatItHadAndEndsWithThree) {
    const TempFolder folder;
    const std::string file = steady_tone(folder);
    const Running playing({VIRTUAL_AUDIO_SCRIPT, "play", file}, long_lasting());
    pause_s(1.0);
    Running measuring(
        {skedlark_path(), "bench", "tone", "--json", "--seconds", "60", "--live", "vcable_monitor"},
        long_lasting());
    pause_s(9.0);
    ASSERT_TRUE(card("kill"));
    const Ended ended = measuring.wait();
    ASSERT_TRUE(card("restart"));
    EXPECT_EQ(ended.status, 3) << ended.out << ended.error;
    EXPECT_NE(ended.error.find("did not come back within"), std::string::npos) << ended.error;
    EXPECT_NEAR(bench_value(ended, "pitch_hz"), 700.0, 0.1);
    const double seconds = json_lines(ended.out).back()["seconds"].get<double>();
    EXPECT_GT(seconds, 5.0);
    EXPECT_LT(seconds, 10.0);
}

TEST(Live, ADeviceThatDoesNotExistIsAnsweredWithThoseThatDo) {
    const Ended ended = run_skedlark({"copy", "--live", "no such input"});
    EXPECT_EQ(ended.status, 2);
    EXPECT_NE(ended.error.find("vcable_monitor"), std::string::npos) << ended.error;
    const Ended list = run_skedlark({"devices"});
    EXPECT_EQ(list.status, 0);
    EXPECT_NE(list.out.find("vcable_monitor"), std::string::npos) << list.out;
}

TEST(Live, ChecksTheHookUpOfADevice) {
    const Ended ended =
        run_skedlark({"devices", "--json", "--check", "vcable_monitor", "--seconds", "1"});
    EXPECT_EQ(ended.status, 1) << ended.error;  // nothing plays
    EXPECT_EQ(json_lines(ended.out).at(0)["level"], "no_signal");
}

TEST(Live, StoppedBeforeAnythingWasHeardTheAnswerIsNo) {
    Running copying({skedlark_path(), "copy", "--json", "--live", "vcable_monitor"},
                    long_lasting());
    ASSERT_TRUE(copying.wait_for_output("\"input\"", 20.0));
    copying.signal(SIGINT);
    const Ended ended = copying.wait();
    EXPECT_EQ(ended.status, 1) << ended.error;  // no text was copied
    EXPECT_EQ(json_lines(ended.out).back()["event"], "summary");
}

// A drill played on the sound card, copied from it by the program itself; typed in as an answer to the
// same text of a file, all of it is right.
TEST(Live, ADrillIsPlayedWithinItsLimitAndMarked) {
    const TempFolder folder;
    Running copying({skedlark_path(), "copy", "--json", "--live", "vcable_monitor", "--record",
                     folder.path(""), "--record-format", "wav"},
                    long_lasting());
    ASSERT_TRUE(copying.wait_for_output("\"input\"", 20.0));
    std::string text = run_skedlark({"drill", "--count", "3", "--seed", "1000"}).out;
    ProgramOptions typing = long_lasting();
    typing.input = text;
    const Ended played =
        run_skedlark({"drill", "--play", "--output", "vcable_sink", "--level", "20", "--volume",
                      "-20", "--limit", "-26", "--json", "--count", "3", "--seed", "1000"},
                     typing);
    EXPECT_EQ(played.status, 0) << played.error;
    EXPECT_NE(played.error.find("An empty line ends it"), std::string::npos) << played.error;
    EXPECT_EQ(json_lines(played.out).at(0).at("right"), 15);
    EXPECT_NEAR(json_lines(played.out).at(0).at("level").get<double>(), 20.0, 0.01);
    pause_s(1.0);
    copying.signal(SIGINT);
    const Ended heard = copying.wait();
    while (!text.empty() && text.back() == '\n') text.pop_back();
    EXPECT_EQ(text_of(json_lines(heard.out)), text);
    std::string file;
    for (const auto& entry : std::filesystem::directory_iterator(folder.path("")))
        file = entry.path();
    const std::string raw = raw_of(file);
    int peak = 0;
    for (std::size_t i = 0; i + 1 < raw.size(); i += 2) {
        const auto low = static_cast<unsigned char>(raw[i]);
        peak = std::max(peak, std::abs(static_cast<signed char>(raw[i + 1]) * 256 + low));
    }
    // -26 dBFS is 1642 of 32768; that loud, and the server's rounding more.
    EXPECT_GT(peak, 1500);
    EXPECT_LE(peak, 1660);
}

TEST(Live, ADrillIsSentOnAKeyAndGraded) {
    const TempFolder folder;
    const std::string text = run_skedlark({"drill", "--count", "3", "--seed", "1000"}).out;
    const std::string meant = folder.put("t.txt", text);
    const std::string file = folder.path("s.wav");
    ASSERT_EQ(run_skedlark({"key", "--text-file", meant, "--wpm", "20", "--out", file}).status, 0);
    Running sending({skedlark_path(), "drill", "--live", "vcable_monitor", "--json", "--count", "3",
                     "--seed", "1000", "--who", "Ann", "--log-file", folder.path("log.db")},
                    long_lasting());
    ASSERT_TRUE(sending.wait_for_output("\"exercise\"", 20.0));
    pause_s(0.5);
    ASSERT_TRUE(card("play", file));
    pause_s(0.5);
    sending.signal(SIGINT);
    const Ended ended = sending.wait();
    EXPECT_EQ(ended.status, 0) << ended.error << ended.out;
    const auto summary = json_lines(ended.out).back();
    EXPECT_GT(summary.at("score").get<double>(), 99.0) << ended.out;
    const auto entries = json_lines(run_skedlark({"log", "--json", "--kind", "practice", "--who",
                                                  "Ann", "--log-file", folder.path("log.db")})
                                        .out);
    ASSERT_EQ(entries.size(), 1U);
    EXPECT_EQ(entries[0].at("outcome"), "right");
    const Ended none = run_skedlark({"drill", "--live", "no such input"});
    EXPECT_EQ(none.status, 2);
    const Ended mute = run_skedlark({"drill", "--play", "--output", "no such output"});
    EXPECT_EQ(mute.status, 2);
    EXPECT_NE(mute.error.find("no such output"), std::string::npos) << mute.error;
}

// The card's monitor is the input its output is joined to.
TEST(Live, TheDelayFromKeyToSoundIsMeasured) {
    nlohmann::json line;
    // A machine that is busy with other things breaks the sound up: then once more.
    for (int i = 0; i < 4; ++i) {
        const Ended ended = run_skedlark({"drill", "--key-delay", "--live", "vcable_monitor",
                                          "--output", "vcable_sink", "--json"},
                                         long_lasting());
        if (ended.status != 0) continue;
        line = json_lines(ended.out).at(0);
        if (line.at("worst_length_ms").get<double>() < 8.0) break;
    }
    ASSERT_TRUE(line.contains("measured_ms"));
    EXPECT_EQ(line.at("edges"), 30);
    EXPECT_GT(line.at("measured_ms").get<double>(), 5.0);
    EXPECT_LT(line.at("measured_ms").get<double>(), 200.0);
    EXPECT_NEAR(line.at("told_ms").get<double>(), line.at("measured_ms").get<double>(), 40.0);
    EXPECT_LT(line.at("worst_length_ms").get<double>(), 8.0);
}

}  // namespace
}  // namespace skedlark::test
