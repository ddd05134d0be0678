// Standard output that nobody takes, that is full, or that is not there.
#include <gtest/gtest.h>

#include <csignal>
#include <filesystem>

#include "tests/cli/scenes.h"

namespace skedlark::test {
namespace {

class Streams : public ::testing::Test {
 protected:
    Streams() : file(keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 K")) {}
    TempFolder folder;
    std::string file;
};

TEST_F(Streams, AFullDiskCutsTheWorkShort) {
    ProgramOptions full;
    full.output_to = "/dev/full";
    for (const std::vector<std::string>& arguments : {std::vector<std::string>{"copy", file},
                                                      {"copy", "--json", file},
                                                      {"find", file},
                                                      {"--help"},
                                                      {"copy", "--help"},
                                                      {"--version"}}) {
        const Ended ended = run_skedlark(arguments, full);
        EXPECT_EQ(ended.status, 3) << arguments[0];
        EXPECT_NE(ended.error.find("standard output"), std::string::npos) << ended.error;
    }
}

TEST_F(Streams, AReaderThatWentAwayCutsTheWorkShort) {
    ProgramOptions options;
    options.environment["FILE"] = file;
    const Ended ended =
        run_shell("(sleep 0.3; $SKEDLARK copy $FILE; echo status $? >&2) | true", options);
    EXPECT_NE(ended.error.find("standard output was closed by its reader"), std::string::npos)
        << ended.error;
    EXPECT_NE(ended.error.find("status 3"), std::string::npos) << ended.error;
}

TEST_F(Streams, AClosedStandardOutputIsNeverMistakenForTheSoundFile) {
    const std::string before = content_of(file);
    ProgramOptions closed;
    closed.close_output = true;
    const Ended ended = run_skedlark({"copy", file}, closed);
    EXPECT_EQ(ended.status, 2);
    EXPECT_NE(ended.error.find("standard output"), std::string::npos) << ended.error;
    EXPECT_EQ(content_of(file), before);
}

TEST_F(Streams, EveryVerbHasHelpWithAnExample) {
    for (const char* verb : {"copy", "find", "key", "devices"}) {
        const Ended ended = run_skedlark({verb, "--help"});
        EXPECT_EQ(ended.status, 0);
        EXPECT_EQ(ended.error, "");
        EXPECT_NE(ended.out.find("Example:\n  skedlark " + std::string(verb)), std::string::npos)
            << ended.out;
        EXPECT_NE(run_skedlark({"--help"}).out.find(verb), std::string::npos);
    }
    EXPECT_EQ(run_skedlark({"--version"}).out.rfind("skedlark ", 0), 0U);
}

TEST_F(Streams, AFileThatIsInterruptedKeepsWhatItHad) {
    // A day of silence, as a sparse file: enough to be in the middle of.
    const std::string silence = folder.put("day.raw", "");
    std::filesystem::resize_file(silence, 24ULL * 3600 * 8000 * 2);
    Running copying({skedlark_path(), "copy", "--json", "--raw", "8000", silence}, {});
    ASSERT_TRUE(copying.wait_for_output("exact zeros", 20.0));
    copying.signal(SIGINT);
    const Ended ended = copying.wait();
    EXPECT_EQ(ended.status, 3) << ended.error;
    const auto events = json_lines(ended.out);
    EXPECT_EQ(events.back()["event"], "summary");
    EXPECT_LT(events.back()["seconds"].get<double>(), 24.0 * 3600.0);
    EXPECT_NE(ended.error.find("stopped before its end"), std::string::npos) << ended.error;
}

TEST(Key, WritesAudioAndItsTruth) {
    const TempFolder folder;
    const std::string file = keyed(folder, "a.flac", "QVA7 K [AR]", {"--fist", "steady"});
    const auto truth = nlohmann::json::parse(content_of(file + ".json"));
    EXPECT_EQ(truth["wanted"]["text"], "QVA7 K [AR]");
    EXPECT_EQ(truth["wanted"]["characters"].size(), 8U);  // two blanks
    EXPECT_EQ(truth["wanted"]["marks_on_off_s"].size(), 23U);
    const std::string elsewhere = folder.path("truth.json");
    keyed(folder, "b.flac", "K", {"--truth", elsewhere});
    EXPECT_EQ(nlohmann::json::parse(content_of(elsewhere))["wanted"]["text"], "K");
}

TEST(Key, TheSameSeedGivesTheSameAudio) {
    const TempFolder folder;
    const std::vector<std::string> noisy{"--snr-2500hz", "0", "--seed", "5"};
    const std::string a = content_of(keyed(folder, "a.wav", "QVA7", noisy));
    EXPECT_EQ(content_of(keyed(folder, "b.wav", "QVA7", noisy)), a);
    EXPECT_NE(content_of(keyed(folder, "c.wav", "QVA7", {"--snr-2500hz", "0", "--seed", "6"})), a);
}

TEST(Key, TakesTextFromAFileOrStandardInput) {
    const TempFolder folder;
    ProgramOptions options;
    options.input = "QVA7 DE\nQXB2\n";
    EXPECT_EQ(run_skedlark({"key", "-", "--out", folder.path("a.wav")}, options).status, 0);
    const std::string text = folder.put("text.txt", options.input);
    EXPECT_EQ(run_skedlark({"key", "--text-file", text, "--out", folder.path("b.wav")}).status, 0);
    EXPECT_EQ(content_of(folder.path("a.wav")), content_of(folder.path("b.wav")));
    EXPECT_EQ(nlohmann::json::parse(content_of(folder.path("a.wav.json")))["wanted"]["text"],
              "QVA7 DE QXB2");
}

TEST(Key, RefusesWhatItCannotDo) {
    const TempFolder folder;
    const auto refused = [&](std::vector<std::string> arguments, const std::string& named) {
        arguments.insert(arguments.begin(), "key");
        const Ended ended = run_skedlark(arguments);
        EXPECT_EQ(ended.status, 2) << named;
        EXPECT_NE(ended.error.find(named), std::string::npos) << ended.error;
    };
    const std::string out = folder.path("a.wav");
    refused({"A#B", "--out", out}, "#");
    refused({" ", "--out", out}, "TEXT");
    refused({"A", "--out", folder.path("a.mp3")}, "a.mp3");
    refused({"A", "--out", folder.path("no/where.wav")}, "where.wav");
    refused({"A", "--out", out, "--fist", "left"}, "left");
    refused({"A", "--out", out, "--channel", "tunnel"}, "tunnel");
    refused({"A", "--out", out, "--wpm", "1"}, "4 to 60");
    refused({"--text-file", folder.path("missing.txt"), "--out", out}, "missing.txt");
    keyed(folder, "kept.wav", "A");
    const std::string before = content_of(folder.path("kept.wav"));
    refused({"B", "--out", folder.path("kept.wav")}, "kept.wav");
    EXPECT_EQ(content_of(folder.path("kept.wav")), before);
}

TEST(Devices, ChecksAHookUpFromAFile) {
    const TempFolder folder;
    const std::string good =
        keyed(folder, "good.wav", "QVA7 QVA7 QVA7", {"--snr-2500hz", "10", "--level-dbfs", "-20"});
    const Ended well = run_skedlark({"devices", "--check-file", good});
    EXPECT_EQ(well.status, 0) << well.out << well.error;
    EXPECT_NE(well.out.find("level     good"), std::string::npos) << well.out;
    const std::string silence =
        folder.put("silence.wav", wav_header(8000, 1, 160000) + std::string(160000, '\0'));
    const Ended bad = run_skedlark({"devices", "--json", "--check-file", silence});
    EXPECT_EQ(bad.status, 1);
    const auto check = json_lines(bad.out).at(0);
    EXPECT_EQ(check["event"], "check");
    EXPECT_EQ(check["level"], "no_signal");
    EXPECT_FALSE(check["advice"].empty());
    EXPECT_EQ(run_skedlark({"devices", "--check-file", folder.path("missing.wav")}).status, 2);
}

TEST(Devices, ListsWhatThereIs) {
    const Ended ended = run_skedlark({"devices"});
    // With and without sound inputs: a list, or a line that there is none.
    EXPECT_EQ(ended.status, ended.out.empty() ? 1 : 0) << ended.error;
    EXPECT_NE(ended.out.empty(), ended.error.empty());
}

}  // namespace
}  // namespace skedlark::test
