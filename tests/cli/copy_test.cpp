// The real program on made-up signals: what it prints, where, and how it ends.
#include <gtest/gtest.h>

#include <sstream>

#include "tests/cli/scenes.h"

namespace skedlark::test {
namespace {

constexpr const char* kText = "QVA7 DE QXB2 QXB2 = KLMNO PQRST = ALL WELL [AR] K";
constexpr const char* kCopied = "QVA7 DE QXB2 QXB2 = KLMNO PQRST = ALL WELL + K\n";

TEST(Copy, PrintsTextOnStandardOutputAndTheRestOnStandardError) {
    const TempFolder folder;
    const Ended ended = run_skedlark({"copy", keyed(folder, "a.wav", kText)});
    EXPECT_EQ(ended.status, 0);
    EXPECT_EQ(ended.out, kCopied);
    EXPECT_NE(ended.error.find("700.0 Hz"), std::string::npos) << ended.error;
    EXPECT_NE(ended.error.find("wpm"), std::string::npos) << ended.error;
}

TEST(Copy, ReadsEveryWayInAlike) {
    const TempFolder folder;
    const std::string wav =
        keyed(folder, "a.wav", kText, {"--rate", "16000", "--snr-2500hz", "15"});
    const std::string flac =
        keyed(folder, "b.flac", kText, {"--rate", "44100", "--snr-2500hz", "15"});
    EXPECT_EQ(run_skedlark({"copy", flac}).out, kCopied);
    ProgramOptions raw;
    raw.input = raw_of(wav);
    EXPECT_EQ(run_skedlark({"copy", "--raw", "16000", "-"}, raw).out, kCopied);
    ProgramOptions piped;
    piped.environment["WAV"] = wav;
    EXPECT_EQ(run_shell("cat $WAV | $SKEDLARK copy -", piped).out, kCopied);
    EXPECT_EQ(run_shell("$SKEDLARK copy - < $WAV", piped).out, kCopied);
}

TEST(Copy, WrapsAt80ColumnsOrWhereItIsTold) {
    const TempFolder folder;
    const std::string text =
        "KLMNO PQRST UVWXY ABCDE FGHIJ KLMNO PQRST UVWXY ABCDE FGHIJ KLMNO PQRST "
        "UVWXY ABCDE FGHIJ KLMNO";
    const std::string file = keyed(folder, "a.wav", text, {"--wpm", "40"});
    for (const std::size_t width : {80UL, 30UL}) {
        std::vector<std::string> arguments{"copy", file};
        if (width != 80) {
            arguments.insert(arguments.end(), {"--width", std::to_string(width)});
        }
        std::istringstream lines(run_skedlark(arguments).out);
        std::string joined;
        int count = 0;
        for (std::string line; std::getline(lines, line); ++count) {
            EXPECT_LE(line.size(), width) << line;
            EXPECT_GT(line.size() + 6, count == 0 ? width : 0U) << "a word more would have fitted";
            joined += (joined.empty() ? "" : " ") + line;
        }
        EXPECT_GT(count, 1);
        EXPECT_EQ(joined, text);
    }
}

TEST(Copy, HeadsEachOfSeveralInputsByItsName) {
    const TempFolder folder;
    const std::string a = keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 K");
    const std::string b = keyed(folder, "b.wav", "QZT2 DE QWK8 QWK8 K");
    const Ended ended = run_skedlark({"copy", a, b});
    EXPECT_EQ(ended.status, 0);
    EXPECT_EQ(ended.out, a + ":\nQVA7 DE QXB2 QXB2 K\n\n" + b + ":\nQZT2 DE QWK8 QWK8 K\n");
}

TEST(Copy, ProcedureSignalsAreOverlinedOrBracketed) {
    const TempFolder folder;
    const std::string file = keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 R R [SK]");
    EXPECT_EQ(run_skedlark({"copy", file}).out, "QVA7 DE QXB2 QXB2 R R S\u0305K\u0305\n");
    EXPECT_EQ(run_skedlark({"copy", "--ascii", file}).out, "QVA7 DE QXB2 QXB2 R R [SK]\n");
}

TEST(Copy, JsonLinesHoldEveryFieldThatOthersMayBuildOn) {
    const TempFolder folder;
    const std::string file =
        keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 [SK]", {"--snr-2500hz", "10"});
    const Ended ended = run_skedlark({"copy", "--json", file});
    EXPECT_EQ(ended.status, 0);
    EXPECT_EQ(ended.error, "");
    const auto events = json_lines(ended.out);
    ASSERT_GT(events.size(), 4U);
    EXPECT_EQ(events.front()["event"], "input");
    EXPECT_EQ(events.front()["name"], file);
    EXPECT_EQ(events.front()["sample_rate_hz"], 8000.0);
    EXPECT_EQ(events.back()["event"], "summary");
    const auto tones = events_of(events, "tone");
    ASSERT_FALSE(tones.empty());
    EXPECT_TRUE(tones.back()["keyed"].is_boolean() || tones.back()["keyed"].is_null());
    for (const char* field : {"tone", "at_s", "pitch_hz", "snr_2500hz_db", "false_alarm_odds"}) {
        EXPECT_TRUE(tones.back()[field].is_number()) << field;
    }
    const auto chars = events_of(events, "char");
    std::string text;
    double last_s = 0.0;
    for (const auto& event : chars) {
        text += event["char"].get<std::string>();
        EXPECT_GE(event["from_s"].get<double>(), last_s - 0.05);
        EXPECT_GE(event["to_s"].get<double>(), event["from_s"].get<double>());
        last_s = event["to_s"];
        EXPECT_GE(event["confidence"].get<double>(), 0.0);
        EXPECT_LE(event["confidence"].get<double>(), 1.0);
        EXPECT_TRUE(event["others"].is_array());
        EXPECT_FALSE(event.contains("final"));
    }
    EXPECT_EQ(text, "QVA7 DE QXB2 QXB2 SK");
    EXPECT_EQ(chars.back()["procedure"], true);
    EXPECT_FALSE(chars.front().contains("procedure"));
    const auto& tone = events.back()["tones"][0];
    EXPECT_EQ(tone["text"], "QVA7 DE QXB2 QXB2 [SK]");
    EXPECT_NEAR(tone["speed_wpm"].get<double>(), 20.0, 0.4);
    EXPECT_NEAR(tone["timing"]["dot_ms"].get<double>(), 60.0, 1.2);
    EXPECT_NEAR(tone["timing"]["dash_ms"].get<double>(), 180.0, 3.6);
    EXPECT_GT(tone["timing"]["marks"].get<int>(), 30);
}

TEST(Copy, ProvisionalCharactersAreMarked) {
    const TempFolder folder;
    const std::string file = keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 K", {"--snr-2500hz", "10"});
    const auto events = json_lines(run_skedlark({"copy", "--json", "--provisional", file}).out);
    int provisional = 0;
    for (const auto& event : events_of(events, "char")) {
        provisional += event.contains("final") ? 1 : 0;
        EXPECT_TRUE(!event.contains("final") || event["final"] == false);
    }
    EXPECT_GT(provisional, 5);
}

// An uneven hand, whose gaps tell little: knowing that it is English must help, and what it changed
// is told.
TEST(Copy, KnowledgeOfTheTextHelpsAndIsTold) {
    const TempFolder folder;
    const std::string sent =
        "RELIEF PARTY OF FOUR WILL REACH THE SADDLE HUT BEFORE NIGHT PLEASE SEND DRY WOOD AND OIL";
    const std::string file =
        keyed(folder, "a.wav", sent, {"--wpm", "20", "--fist", "poor", "--snr-2500hz", "3"});
    const auto words_right = [&](const std::vector<nlohmann::json>& events) {
        const std::string text = " " + events.back()["tones"][0]["text"].get<std::string>() + " ";
        std::istringstream words(sent);
        int right = 0;
        for (std::string word; words >> word;)
            right += text.find(" " + word + " ") == std::string::npos ? 0 : 1;
        return right;
    };
    const auto changed = [](const auto& events) {
        int count = 0;
        for (const auto& event : events_of(events, "char")) {
            if (!event.contains("unaided")) continue;
            ++count;
            EXPECT_TRUE(event["unaided"].is_string());
        }
        return count;
    };
    const auto alone = json_lines(run_skedlark({"copy", "--json", file}).out);
    const auto plain = json_lines(run_skedlark({"copy", "--json", "--text", "plain", file}).out);
    EXPECT_GT(words_right(plain), words_right(alone));
    EXPECT_EQ(changed(alone), 0);
    EXPECT_GT(changed(plain), 0);
    const Ended shown = run_skedlark({"copy", "--text", "plain", file});
    EXPECT_NE(shown.error.find("by --text: 0:"), std::string::npos) << shown.error;
}

TEST(Copy, AnExpectedCallIsFoundWhereTextCannotBeRead) {
    const TempFolder folder;
    const std::string file = keyed(folder, "a.wav", "QVA7 QVA7 QVA7 QVA7",
                                   {"--snr-2500hz", "-14", "--wpm", "14", "--seed", "3"});
    const auto lines =
        json_lines(run_skedlark({"copy", "--json", "--call", "qva7", "--call", "QXB2", file}).out);
    const auto calls = events_of(lines, "call");
    ASSERT_GE(calls.size(), 1U);
    for (const auto& call : calls) EXPECT_EQ(call["call"], "QVA7");
    EXPECT_GT(calls[0]["log_odds"], 0.0);
    const Ended shown = run_skedlark({"copy", "--call", "QVA7", file});
    EXPECT_EQ(shown.status, 0);
    EXPECT_NE(shown.error.find("QVA7 was sent"), std::string::npos) << shown.error;
    const Ended wrong = run_skedlark({"copy", "--call", "Q+", file});
    EXPECT_EQ(wrong.status, 2);
    EXPECT_NE(wrong.error.find("'Q+' holds '+'"), std::string::npos) << wrong.error;
}

TEST(Copy, OptionsDecideWhichToneIsCopied) {
    const TempFolder folder;
    const std::string file = keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 QXB2 QXB2 K",
                                   {"--snr-2500hz", "6", "--channel", "neighbour:200,6,18"});
    EXPECT_EQ(run_skedlark({"copy", "--pitch", "700", "--span", "50", file}).out,
              "QVA7 DE QXB2 QXB2 QXB2 QXB2 K\n");
    const std::string both = run_skedlark({"copy", "--tones", "2", file}).out;
    // Each line begins with the number of its tone; those of the two tones differ.
    const std::size_t wanted = both.find(": QVA7 DE QXB2 QXB2 QXB2 QXB2 K");
    ASSERT_NE(wanted, std::string::npos) << both;
    const char number = both[wanted - 1];
    std::istringstream lines(both);
    int others = 0;
    for (std::string line; std::getline(lines, line);) {
        ASSERT_EQ(line.find(": "), 1U) << line;
        others += line[0] != number ? 1 : 0;
    }
    EXPECT_GT(others, 0) << both;
}

TEST(Copy, NoTextIsTheAnswerNo) {
    const TempFolder folder;
    const std::string silence =
        folder.put("silence.wav", wav_header(8000, 1, 160000) + std::string(160000, '\0'));
    const Ended ended = run_skedlark({"copy", silence});
    EXPECT_EQ(ended.status, 1);
    EXPECT_EQ(ended.out, "");
    EXPECT_NE(ended.error.find("no keyed tone heard"), std::string::npos) << ended.error;
}

TEST(Copy, RecordsWhatItHears) {
    const TempFolder folder;
    const std::string file = keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 K");
    ProgramOptions options;
    options.environment["FILE"] = file;
    options.environment["DIR"] = folder.path("");
    const Ended ended = run_shell(
        "mkdir $DIR/kept && $SKEDLARK copy --record $DIR/kept $FILE && "
        "$SKEDLARK copy $DIR/kept/*.flac",
        options);
    EXPECT_EQ(ended.status, 0) << ended.error;
    EXPECT_EQ(ended.out, "QVA7 DE QXB2 QXB2 K\nQVA7 DE QXB2 QXB2 K\n");
}

TEST(Copy, ATerminalShowsTextAsItIsHeardAndCorrectsIt) {
    const TempFolder folder;
    ProgramOptions options;
    options.environment["FILE"] =
        keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 K", {"--snr-2500hz", "10"});
    options.environment["TERM"] = "xterm";
    // script(1) of util-linux gives the program a terminal.
    const Ended ended = run_shell("script -qec '$SKEDLARK copy $FILE' /dev/null", options);
    EXPECT_EQ(ended.status, 0) << ended.error;
    EXPECT_NE(ended.out.find("\x1b[2m"), std::string::npos) << "nothing was shown as heard";
    EXPECT_NE(ended.out.find("\x1b[J"), std::string::npos) << "nothing was drawn over";
    EXPECT_NE(ended.out.find("QVA7 DE QXB2 QXB2 K\r\n"), std::string::npos) << ended.out;
    EXPECT_NE(ended.out.find("wpm"), std::string::npos);
}

TEST(Find, ListsTonesWithTheirOdds) {
    const TempFolder folder;
    const std::string file =
        keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 QXB2 K", {"--snr-2500hz", "3"});
    const Ended text = run_skedlark({"find", file});
    EXPECT_EQ(text.status, 0);
    EXPECT_NE(text.out.find("700.0 Hz  keyed"), std::string::npos) << text.out;
    const auto events = json_lines(run_skedlark({"find", "--json", file}).out);
    EXPECT_EQ(events.back()["event"], "found");
    ASSERT_FALSE(events.back()["tones"].empty());
    EXPECT_EQ(events.back()["tones"][0]["keyed"], true);
    EXPECT_FALSE(events_of(events, "tone").empty());
}

TEST(Find, NothingIsTheAnswerNo) {
    const TempFolder folder;
    const std::string file =
        keyed(folder, "a.wav", "QVA7 DE QXB2 QXB2 QXB2 K", {"--snr-2500hz", "0"});
    EXPECT_EQ(run_skedlark({"find", "--pitch", "2500", "--span", "100", file}).status, 1);
}

}  // namespace
}  // namespace skedlark::test
