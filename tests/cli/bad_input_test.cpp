// Whatever is wrong with what comes in: a clear line, the right exit status, no crash, no hang.
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cmath>
#include <cstring>

#include "tests/cli/scenes.h"

namespace skedlark::test {
namespace {

// One complaint: status 2 and a line on standard error that names what is wrong.
void expect_refused(const std::vector<std::string>& arguments, const std::string& named,
                    const ProgramOptions& options = {}) {
    const Ended ended = run_skedlark(arguments, options);
    EXPECT_EQ(ended.status, 2) << ended.error;
    EXPECT_FALSE(ended.timed_out);
    EXPECT_EQ(ended.error.rfind("skedlark", 0), 0U) << ended.error;
    EXPECT_NE(ended.error.find(named), std::string::npos) << ended.error;
}

TEST(BadInput, FilesThatAreNone) {
    const TempFolder folder;
    expect_refused({"copy", folder.path("missing.wav")}, "missing.wav");
    expect_refused({"copy", folder.path("")}, "directory");
    expect_refused({"copy", folder.put("empty.wav", "")}, "empty.wav");
    expect_refused({"copy", folder.put("notes.wav", "Dear QVA7, the flour has come.\n")},
                   "notes.wav");
    expect_refused({"copy", "-"}, "standard input");
    expect_refused({"find", folder.path("missing.wav")}, "missing.wav");
}

TEST(BadInput, AFileThatMayNotBeRead) {
    const TempFolder folder;
    const std::string file = folder.put("secret.wav", wav_header(8000, 1, 0));
    ::chmod(file.c_str(), 0);
    // Root may read everything, unless it gives up the right to.
    const std::string without =
        ::geteuid() == 0 ? "setpriv --bounding-set=-dac_override,-dac_read_search " : "";
    const Ended ended = run_shell(without + "\"$SKEDLARK\" copy " + file);
    EXPECT_EQ(ended.status, 2) << ended.error;
    EXPECT_EQ(ended.error.rfind("skedlark", 0), 0U) << ended.error;
    EXPECT_NE(ended.error.find("secret.wav"), std::string::npos) << ended.error;
    EXPECT_NE(ended.error.find("Permission denied"), std::string::npos) << ended.error;
}

TEST(BadInput, TruncatedFilesGiveWhatTheyHoldFirst) {
    const TempFolder folder;
    const std::string whole = content_of(keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 K"));
    const std::string cut = folder.put("cut.wav", whole.substr(0, whole.size() * 3 / 4));
    const Ended ended = run_skedlark({"copy", cut});
    EXPECT_EQ(ended.status, 2) << ended.error;
    EXPECT_NE(ended.out.find("QVA7 DE"), std::string::npos) << ended.out;
    EXPECT_NE(ended.error.find("cut.wav"), std::string::npos) << ended.error;
}

TEST(BadInput, DamageAnywhereNeverCrashes) {
    const TempFolder folder;
    for (const char* name : {"a.wav", "a.flac"}) {
        const std::string whole = content_of(keyed(folder, name, "QVA7 DE QXB2 K"));
        for (std::size_t at = 0; at < 60; at += 3) {
            std::string damaged = whole;
            damaged[at] = static_cast<char>(~damaged[at]);
            const Ended ended = run_skedlark({"copy", folder.put("damaged", damaged)});
            EXPECT_LE(ended.status, 2) << name << " byte " << at << ": " << ended.error;
            EXPECT_FALSE(ended.timed_out) << name << " byte " << at;
        }
        std::string holed = whole;
        std::memset(&holed[whole.size() / 2], 0xA5, 2000);
        EXPECT_LE(run_skedlark({"copy", folder.put("holed", holed)}).status, 2);
    }
}

TEST(BadInput, AudioOfNoLengthAndOfOneSample) {
    const TempFolder folder;
    // A sound file without a sound is read to its end at once: the answer is no.
    const Ended none = run_skedlark({"copy", folder.put("none.wav", wav_header(8000, 1, 0))});
    EXPECT_EQ(none.status, 1) << none.error;
    EXPECT_NE(none.error.find("0:00 of audio"), std::string::npos) << none.error;
    const Ended one = run_skedlark(
        {"copy", folder.put("one.wav", wav_header(8000, 1, 2) + samples_16bit({1000}))});
    EXPECT_EQ(one.status, 1) << one.error;
}

TEST(BadInput, SoundsThatAreNoMorse) {
    const TempFolder folder;
    std::vector<int> dc(80000, 12000);
    std::vector<int> square;
    for (int i = 0; i < 80000; ++i) {
        square.push_back(i / 6 % 2 == 0 ? 32767 : -32768);
    }
    for (const auto& values : {dc, square}) {
        const Ended ended = run_skedlark(
            {"copy", folder.put("a.wav", wav_header(8000, 1, 160000) + samples_16bit(values))});
        EXPECT_EQ(ended.status, 1) << ended.out << ended.error;
        EXPECT_EQ(ended.out, "");
    }
}

TEST(BadInput, NotNumbersAndInfinity) {
    const TempFolder folder;
    // 32-bit float: format 3, by hand.
    std::string header = wav_header(8000, 1, 4 * 40000);
    header[20] = 3;
    header[32] = 4;
    header[34] = 32;
    std::string bytes;
    for (int i = 0; i < 40000; ++i) {
        const float value = i % 100 == 0   ? std::nanf("")
                            : i % 100 == 1 ? INFINITY
                                           : 0.1F * std::sin(0.5F * static_cast<float>(i));
        bytes.append(reinterpret_cast<const char*>(&value), 4);
    }
    const Ended ended = run_skedlark({"copy", folder.put("nan.wav", header + bytes)});
    EXPECT_EQ(ended.status, 1) << ended.error;
    EXPECT_NE(ended.error.find("not numbers"), std::string::npos) << ended.error;
}

TEST(BadInput, SampleRatesThatCannotBe) {
    const TempFolder folder;
    const std::string audio(2000, '\x10');
    expect_refused({"copy", folder.put("slow.wav", wav_header(1, 1, 2000) + audio)}, "1 Hz");
    expect_refused({"copy", folder.put("fast.wav", wav_header(10000000, 1, 2000) + audio)},
                   "10000000 Hz");
    expect_refused({"copy", "--raw", "100", "-"}, "--raw");
}

TEST(BadInput, ManyChannels) {
    const TempFolder folder;
    std::vector<int> values;
    for (int i = 0; i < 8000 * 32; ++i) {
        values.push_back(i % 32);
    }
    const std::string file =
        folder.put("many.wav", wav_header(8000, 32, 8000 * 64) + samples_16bit(values));
    EXPECT_EQ(run_skedlark({"copy", "--channel", "32", file}).status, 1);
    EXPECT_EQ(run_skedlark({"copy", "--channel", "mix", file}).status, 1);
    expect_refused({"copy", "--channel", "33", file}, "33");
    expect_refused({"copy", "--channel", "0", file}, "--channel");
    expect_refused({"copy", "--channel", "left", file}, "left");
}

TEST(BadInput, OptionsOutOfRangeNameFieldValueAndRange) {
    struct Row {
        std::vector<std::string> arguments;
        std::vector<std::string> named;
    };
    const std::vector<Row> rows{
        {{"copy", "a", "--pitch", "100"}, {"--pitch", "100", "200 to 3000 Hz"}},
        {{"copy", "a", "--pitch", "nan"}, {"--pitch", "nan", "200 to 3000 Hz"}},
        {{"copy", "a", "--pitch", "seven"}, {"--pitch", "seven", "200 to 3000 Hz"}},
        {{"copy", "a", "--pitch", "700", "--span", "0"}, {"--span", "10 to 2800 Hz"}},
        {{"copy", "a", "--span", "50"}, {"--span", "--pitch"}},
        {{"copy", "a", "--tones", "0"}, {"--tones", "0", "1 to 8"}},
        {{"copy", "a", "--tones", "1.5"}, {"--tones", "1.5", "whole"}},
        {{"copy", "a", "--wpm", "500"}, {"--wpm", "500", "4 to 60 wpm"}},
        {{"copy", "a", "--text", "poem"}, {"--text", "poem", "none, groups, plain"}},
        {{"copy", "a", "--width", "3"}, {"--width", "3", "20 to 1000"}},
        {{"copy", "a", "--record-format", "flac"}, {"--record"}},
        {{"copy", "a", "--record", "/tmp", "--record-format", "mp3"}, {"mp3", "flac, wav"}},
        {{"copy", "a", "--raw", "7999"}, {"--raw", "7999", "8000 to 192000 Hz"}},
        {{"copy", "a", "--live"}, {"--live"}},
        {{"copy"}, {"INPUT"}},
        {{"copy", "-", "-"}, {"-"}},
        {{"copy", "a", "--colour"}, {"--colour"}},
        {{"find", "a", "--false-alarms-per-hour", "0"},
         {"--false-alarms-per-hour", "0.001 to 100"}},
        {{"listen"}, {"listen"}},
        {{}, {"subcommand"}},
        {{"key", "A"}, {"--out"}},
        {{"key", "--out", "a.wav"}, {"TEXT"}},
        {{"devices", "--seconds", "0"}, {"--seconds", "1 to 600"}},
    };
    for (const Row& row : rows) {
        for (const std::string& named : row.named) {
            expect_refused(row.arguments, named);
        }
    }
}

TEST(BadInput, ADeviceThatDoesNotExist) {
    // Whatever inputs this machine has, none is called so; the error lists those there are.
    const Ended ended = run_skedlark({"copy", "--no-log", "--live", "no such input"});
    EXPECT_EQ(ended.status, 2) << ended.error;
    EXPECT_NE(ended.error.find("no such input"), std::string::npos) << ended.error;
    EXPECT_FALSE(ended.timed_out);
}

TEST(BadInput, AFolderToRecordToThatIsNone) {
    const TempFolder folder;
    const std::string file = keyed(folder, "a.wav", "QVA7 K");
    expect_refused({"copy", "--record", folder.path("missing"), file}, "missing");
    expect_refused({"copy", "--record", file, file}, "a.wav");
}

TEST(BadInput, OneBadInputOfSeveralDoesNotStopTheOthers) {
    const TempFolder folder;
    const std::string good = keyed(folder, "good.wav", "QVA7 DE QXB2 QXB2 K");
    const Ended ended = run_skedlark({"copy", folder.path("missing.wav"), good});
    EXPECT_EQ(ended.status, 2);
    EXPECT_NE(ended.out.find("QVA7 DE QXB2 QXB2 K"), std::string::npos) << ended.out;
    EXPECT_NE(ended.error.find("missing.wav"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::test
