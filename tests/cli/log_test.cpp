// skedlark log from outside, and the watches that copy and find write into it.
#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>

#include "tests/cli/scenes.h"

namespace skedlark::test {
namespace {

// Everything in a folder of its own, never in the log of whoever runs the tests.
class LogCli : public ::testing::Test {
 protected:
    Ended run(std::vector<std::string> arguments, ProgramOptions options = {}) const {
        options.environment["XDG_DATA_HOME"] = data_.path("data");
        return run_skedlark(arguments, options);
    }
    std::vector<nlohmann::json> entries(std::vector<std::string> more = {}) const {
        more.insert(more.begin(), {"log", "--json"});
        return json_lines(run(more).out);
    }
    void refused(const std::vector<std::string>& arguments, const std::string& named,
                 int status = 2) const {
        const Ended ended = run(arguments);
        EXPECT_EQ(ended.status, status) << ended.error;
        EXPECT_NE(ended.error.find(named), std::string::npos) << ended.error;
    }
    TempFolder data_;
};

TEST_F(LogCli, ACopyIsLoggedWhereAskedFor) {
    const std::string file = keyed(data_, "a.wav", "QVA7 DE QXB2 QXB2 K");
    EXPECT_EQ(run({"copy", file}).status, 0);
    refused({"log"}, "there is no such log");
    const Ended copied =
        run({"copy", "--log", "--contact", "evening", "--who", "Ida", "--receiver", "set 2", file});
    EXPECT_EQ(copied.status, 0);
    EXPECT_EQ(copied.out, "QVA7 DE QXB2 QXB2 K\n") << "the text is what it is without a log";
    const auto all = entries();
    ASSERT_EQ(all.size(), 1U);
    EXPECT_EQ(all[0]["kind"], "watch");
    EXPECT_EQ(all[0]["contact"], "evening");
    EXPECT_EQ(all[0]["who"], "Ida");
    EXPECT_EQ(all[0]["receiver"], "set 2");
    EXPECT_EQ(all[0]["input"], file);
    EXPECT_EQ(all[0]["outcome"], "copied");
    EXPECT_EQ(all[0]["reason"], "");
    EXPECT_EQ(all[0]["stations"][0]["text"], "QVA7 DE QXB2 QXB2 K");
    EXPECT_NEAR(all[0]["stations"][0]["pitch_hz"].get<double>(), 700.0, 1.0);
    EXPECT_NEAR(all[0]["stations"][0]["speed_wpm"].get<double>(), 20.0, 0.5);
    EXPECT_GT(all[0]["seconds"].get<double>(), 5.0);
    const std::string table = run({"log"}).out;
    EXPECT_NE(table.find("copied   QVA7 DE QXB2 QXB2 K"), std::string::npos) << table;
    const std::string whole = run({"log", "--id", "1"}).out;
    EXPECT_NE(whole.find("20.0 wpm"), std::string::npos) << whole;
    EXPECT_NE(whole.find("set 2"), std::string::npos) << whole;
}

TEST_F(LogCli, WhyNothingCameOfAWatch) {
    const std::string silence =
        data_.put("silence.wav", wav_header(8000, 1, 320000) + std::string(320000, '\0'));
    EXPECT_EQ(run({"copy", "--log", silence}).status, 1);
    const std::string whole = content_of(keyed(data_, "a.wav", "QVA7 DE QXB2 K"));
    const std::string cut = data_.put("cut.wav", whole.substr(0, whole.size() / 4));
    EXPECT_EQ(run({"find", "--log", cut}).status, 2);
    const auto all = entries();
    ASSERT_EQ(all.size(), 2U);
    EXPECT_EQ(all[0]["outcome"], "missed");
    EXPECT_EQ(all[0]["reason"], "no keyed tone was heard");
    EXPECT_NE(all[1]["reason"].get<std::string>().find("cut.wav"), std::string::npos);
}

TEST_F(LogCli, ALiveWatchWithoutASoundInputIsMissed) {
    const std::vector<std::string> live = {"copy", "--live", "no such device", "--contact",
                                           "evening"};
    EXPECT_EQ(run(live).status, 2);
    const auto all = entries();
    ASSERT_EQ(all.size(), 1U);
    EXPECT_EQ(all[0]["outcome"], "missed");
    EXPECT_EQ(all[0]["contact"], "evening");
    EXPECT_NE(all[0]["reason"].get<std::string>().find("no such device"), std::string::npos);
    std::vector<std::string> unlogged = live;
    unlogged.emplace_back("--no-log");
    EXPECT_EQ(run(unlogged).status, 2);
    EXPECT_EQ(run({"copy", "--live", "no such device"}).status, 2) << "no contact, none missed";
    EXPECT_EQ(entries().size(), 1U);
}

// A FIFO that stays open is a watch that goes on; it is killed as a power cut would.
TEST_F(LogCli, AWatchThatIsCutOffIsThere) {
    const std::string fifo = data_.path("fifo");
    ASSERT_EQ(::mkfifo(fifo.c_str(), 0600), 0);
    const int held = ::open(fifo.c_str(), O_RDWR | O_CLOEXEC);
    ASSERT_GE(held, 0);
    ProgramOptions options;
    options.environment = {{"XDG_DATA_HOME", data_.path("data")}, {"FIFO", fifo}};
    options.environment["PROGRAM"] = skedlark_path();
    {
        Running watching({"sh", "-c",
                          "exec \"$PROGRAM\" copy --json --log --contact evening --raw 8000 - "
                          "< \"$FIFO\""},
                         options);
        ASSERT_TRUE(watching.wait_for_output("\"input\"", 20.0));
        for (int i = 0; i < 200 && entries().empty(); ++i) ::usleep(50000);
        watching.signal(SIGKILL);
        EXPECT_EQ(watching.wait().status, 128 + SIGKILL);
    }
    ::close(held);
    const auto all = entries();
    ASSERT_EQ(all.size(), 1U);
    EXPECT_EQ(all[0]["outcome"], "open");
    EXPECT_EQ(all[0]["contact"], "evening");
}

TEST_F(LogCli, ARecordedWatchNamesItsRecording) {
    const std::string file = keyed(data_, "a.wav", "QVA7 DE QXB2 K");
    std::filesystem::create_directory(data_.path("kept"));
    EXPECT_EQ(run({"copy", "--log", "--record", data_.path("kept"), file}).status, 0);
    const std::string recording = entries()[0]["recording"];
    EXPECT_TRUE(std::filesystem::is_regular_file(recording)) << recording;
}

TEST_F(LogCli, AWatchGoesOnWhereItsLogCannotBeWritten) {
    const std::string file = keyed(data_, "a.wav", "QVA7 DE QXB2 QXB2 K");
    data_.put("notes.txt", "Dear QVA7, the flour has come.\n");
    for (const std::string& log : {data_.path("notes.txt"), data_.path("none/log.db"),
                                   data_.path(""), std::string("/proc/log.db")}) {
        const Ended ended = run({"copy", "--log", "--log-file", log, file});
        EXPECT_EQ(ended.status, 0) << log;
        EXPECT_EQ(ended.out, "QVA7 DE QXB2 QXB2 K\n") << log;
        EXPECT_NE(ended.error.find("the watch goes on, but is not logged: " + log),
                  std::string::npos)
            << ended.error;
    }
    EXPECT_EQ(content_of(data_.path("notes.txt")), "Dear QVA7, the flour has come.\n");
    ProgramOptions homeless;
    homeless.environment = {{"HOME", ""}, {"XDG_DATA_HOME", ""}};
    const Ended ended = run_skedlark({"copy", "--log", file}, homeless);
    EXPECT_EQ(ended.status, 0);
    EXPECT_NE(ended.error.find("neither XDG_DATA_HOME nor HOME is set"), std::string::npos);
}

TEST_F(LogCli, AReadOnlyLogIsReadButNotWritten) {
    const std::string file = keyed(data_, "a.wav", "QVA7 DE QXB2 QXB2 K");
    const std::string log = data_.path("log.db");
    EXPECT_EQ(run({"copy", "--log", "--log-file", log, file}).status, 0);
    const std::string before = content_of(log);
    ::chmod(log.c_str(), 0444);
    // Root may write everything, unless it gives up the right to.
    const std::string without =
        ::geteuid() == 0 ? "setpriv --bounding-set=-dac_override,-dac_read_search " : "";
    const Ended copied =
        run_shell(without + "\"$SKEDLARK\" copy --log --log-file " + log + " " + file);
    EXPECT_EQ(copied.status, 0) << copied.error;
    EXPECT_EQ(copied.out, "QVA7 DE QXB2 QXB2 K\n");
    EXPECT_NE(copied.error.find("log.db: is read-only"), std::string::npos) << copied.error;
    const Ended listed = run_shell(without + "\"$SKEDLARK\" log --log-file " + log);
    EXPECT_EQ(listed.status, 0) << listed.error;
    const Ended noted =
        run_shell(without + "\"$SKEDLARK\" log --id 1 --note iced --log-file " + log);
    EXPECT_EQ(noted.status, 2);
    EXPECT_NE(noted.error.find("is read-only"), std::string::npos) << noted.error;
    EXPECT_EQ(content_of(log), before);
}

TEST_F(LogCli, AMissedContactAndItsReasonAreEntered) {
    const Ended missed = run({"log", "--missed", "evening", "--since", "2026-11-26T18:30Z",
                              "--reason", "snowed in", "--who", "Ida"});
    EXPECT_EQ(missed.status, 0) << missed.error;
    EXPECT_EQ(
        run({"log", "--id", "1", "--reason", "transmitter fuse", "--note", "spare is gone"}).status,
        0);
    const auto all = entries();
    ASSERT_EQ(all.size(), 1U);
    EXPECT_EQ(all[0]["started_utc"], "2026-11-26T18:30:00.000Z");
    EXPECT_EQ(all[0]["outcome"], "missed");
    EXPECT_EQ(all[0]["reason"], "transmitter fuse");
    EXPECT_EQ(all[0]["note"], "spare is gone");
}

TEST_F(LogCli, EntriesAreSelected) {
    for (const char* when : {"2026-11-24T18:30Z", "2026-11-25T18:30Z", "2026-11-26T18:30Z"}) {
        EXPECT_EQ(run({"log", "--missed", "evening", "--since", when, "--who", "Ida"}).status, 0);
    }
    EXPECT_EQ(entries({"--since", "2026-11-25"}).size(), 2U);
    EXPECT_EQ(entries({"--since", "2026-11-25", "--until", "2026-11-26"}).size(), 1U);
    EXPECT_EQ(entries({"--last", "1"})[0]["id"], 3);
    EXPECT_EQ(entries({"--who", "ida", "--contact", "evening", "--kind", "watch"}).size(), 3U);
    refused({"log", "--kind", "practice"}, "no entry is as asked for", 1);
    refused({"log", "--id", "9"}, "no entry is as asked for", 1);
    refused({"log", "--id", "9", "--note", "x"}, "there is no entry 9");
    refused({"log", "--since", "yesterday"}, "--since: 'yesterday' is not a time");
    refused({"log", "--kind", "gossip"}, "watch, practice, bench");
    refused({"log", "--last", "-1"}, "--last");
    refused({"log", "--reason", "x"}, "need --id or --missed");
    refused({"log", "--log-file", data_.put("broken.db", "SQLite format 3\0 and then no more")},
            "broken.db");
}

TEST_F(LogCli, ExportsWholeFiles) {
    EXPECT_EQ(run({"log", "--missed", "evening", "--reason", "fuse, \"slow\" one\nblown"}).status,
              0);
    const std::string folder = data_.path("out/deep");
    EXPECT_EQ(run({"log", "--export", folder}).status, 0);
    const auto lines = json_lines(content_of(folder + "/skedlark-log.jsonl"));
    ASSERT_EQ(lines.size(), 1U);
    EXPECT_EQ(lines[0]["event"], "entry");
    const std::string csv = content_of(folder + "/skedlark-log.csv");
    EXPECT_EQ(csv.rfind("id,kind,started_utc,", 0), 0U);
    // RFC 4180: quotation marks doubled, line ends within them.
    EXPECT_NE(csv.find("\"fuse, \"\"slow\"\" one\nblown\""), std::string::npos) << csv;
    EXPECT_FALSE(std::filesystem::exists(folder + "/skedlark-log.csv.new"));
    refused({"log", "--export", "/proc/none"}, "/proc/none");
    refused({"log", "--export", data_.put("file", "")}, "cannot be");
}

TEST_F(LogCli, TwoStretchesOfAWatchAreCompared) {
    const std::string text =
        "KLMNO PQRST UVWXY ABCDE FGHIJ KLMNO PQRST UVWXY ABCDE FGHIJ KLMNO "
        "PQRST UVWXY ABCDE FGHIJ KLMNO PQRST UVWXY ABCDE FGHIJ";
    // The gain is turned down by 6 dB half way: signal and noise alike.
    const std::string file = keyed(data_, "a.wav", text + " " + text,
                                   {"--wpm", "15", "--snr-2500hz", "6", "--channel", "gain:80,-6"});
    const std::vector<std::string> compare = {"log",     "--compare", file,       "--pitch",  "700",
                                              "--first", "0:05-1:15", "--second", "1:25-2:35"};
    const Ended table = run(compare);
    EXPECT_EQ(table.status, 0) << table.error;
    EXPECT_NE(table.out.find("signal dBFS"), std::string::npos) << table.out;
    std::vector<std::string> with_json = compare;
    with_json.push_back("--json");
    const auto result = json_lines(run(with_json).out);
    ASSERT_EQ(result.size(), 1U);
    EXPECT_NEAR(result[0]["signal_change"]["db"].get<double>(), -6.0, 0.7);
    EXPECT_EQ(result[0]["signal_change"]["clear"], true);
    EXPECT_NEAR(result[0]["noise_change"]["db"].get<double>(), -6.0, 0.7);
    EXPECT_NEAR(result[0]["snr_change"]["db"].get<double>(), 0.0, 0.9);
    // The same by the number of the watch: file and pitch are known there.
    EXPECT_EQ(run({"copy", "--log", file}).status, 0);
    const auto by_id = json_lines(
        run({"log", "--id", "1", "--compare", "--first", "5-75", "--second", "85-155", "--json"})
            .out);
    ASSERT_EQ(by_id.size(), 1U);
    EXPECT_NEAR(by_id[0]["signal_change"]["db"].get<double>(), -6.0, 0.7);
}

TEST_F(LogCli, StretchesThatCannotBe) {
    const std::string file = keyed(data_, "a.wav", "QVA7 DE QXB2 QXB2 K");
    const auto compare = [&](const std::string& first, const std::string& named) {
        refused({"log", "--compare", file, "--pitch", "700", "--first", first, "--second", "0-30"},
                named);
    };
    compare("x", "--first: 'x' is not a stretch");
    compare("10-5", "ends before it begins");
    compare("0-10", "is 10 s long");
    compare("0:00-0:75", "is not a stretch");
    compare("nan-inf", "is not a stretch");
    compare("-5-40", "is not a stretch");
    compare("0-2:00:00", "is 7200 s long");
    compare("0-30", "a stretch runs to 30.0 s");
    refused({"log", "--compare", file, "--first", "0-30", "--second", "0-30"}, "--pitch");
    refused({"log", "--compare", file, "--pitch", "700"}, "needs --first");
    refused({"log", "--compare", "--pitch", "700", "--first", "0-30", "--second", "0-30"},
            "needs a sound file");
    refused({"log", "--compare", data_.path("none.wav"), "--pitch", "700", "--first", "0-30",
             "--second", "0-30"},
            "none.wav");
    refused({"log", "--pitch", "700"}, "--compare");
}

}  // namespace
}  // namespace skedlark::test
