// skedlark drill, run as from a shell.
#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>
#include <sstream>

#include "tests/cli/scenes.h"

namespace skedlark::test {
namespace {

class DrillVerb : public ::testing::Test {
 protected:
    Ended drill(std::vector<std::string> arguments) {
        arguments.insert(arguments.begin(), "drill");
        return run_skedlark(arguments);
    }
    static void expect_80_columns(const std::string& text) {
        std::istringstream lines(text);
        for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
    }
    TempFolder folder_;
};

TEST_F(DrillVerb, EveryKindIsATextToSend) {
    for (const char* kind : {"groups", "plain", "calls", "figures", "procedure"}) {
        const Ended ended = drill({"--kind", kind, "--count", "15", "--seed", "1000"});
        EXPECT_EQ(ended.status, 0) << ended.error;
        EXPECT_GT(ended.out.size(), 60U);
        expect_80_columns(ended.out);
        EXPECT_EQ(drill({"--kind", kind, "--count", "15", "--seed", "1000"}).out, ended.out);
        EXPECT_NE(drill({"--kind", kind, "--count", "15"}).out, ended.out);
    }
}

// What is printed is what fist takes: keyed exactly, all of it is right.
TEST_F(DrillVerb, FistGradesTheTextPrinted) {
    const std::string text =
        folder_.put("e.txt", drill({"--kind", "procedure", "--count", "3"}).out);
    const Ended key = run_skedlark(
        {"key", "--text-file", text, "--snr-2500hz", "15", "--out", folder_.path("e.wav")});
    ASSERT_EQ(key.status, 0) << key.error;
    const Ended fist = run_skedlark({"fist", "--text-file", text, folder_.path("e.wav")});
    EXPECT_EQ(fist.status, 0) << fist.out << fist.error;
}

// Copied by the program's own copy, which knows nothing of the text.
TEST_F(DrillVerb, KeyedForCopyingAndMarked) {
    const std::string wav = folder_.path("c.wav");
    const Ended made =
        drill({"--kind", "figures", "--count", "8", "--wpm", "16", "--snr-2500hz", "10", "--fading",
               "mid-quiet", "--fist", "steady", "--seed", "1000", "--out", wav});
    ASSERT_EQ(made.status, 0) << made.error;
    const std::string text = content_of(wav + ".txt");
    EXPECT_EQ(made.out, "");
    EXPECT_EQ(made.error.find(text.substr(0, 5)), std::string::npos);  // not on the screen
    EXPECT_EQ(text, drill({"--kind", "figures", "--count", "8", "--seed", "1000"}).out);
    const Ended copied = run_skedlark({"copy", "--ascii", wav});
    const std::string typed = folder_.put("typed.txt", copied.out);
    const Ended marked =
        drill({"--json", "--answer", typed, "--sent", wav + ".txt", "--wpm", "16"});
    const auto line = json_lines(marked.out).at(0);
    EXPECT_EQ(line.at("sent"), 40);
    EXPECT_GE(line.at("right").get<int>(), 36) << text << copied.out;
    EXPECT_GT(line.at("next_wpm").get<double>(), 15.9);
    // Nothing is overwritten.
    EXPECT_EQ(drill({"--out", wav}).status, 2);
    std::filesystem::remove(wav);
    EXPECT_EQ(drill({"--out", wav}).status, 2);
    EXPECT_EQ(content_of(wav + ".txt"), text);
}

// Soft and loud noise: nothing reaches full scale, so nothing is clipped.
TEST_F(DrillVerb, NeverClips) {
    for (const char* snr : {"-20", "0", "40"}) {
        const std::string wav = folder_.path(std::string("n") + snr + ".wav");
        ASSERT_EQ(drill({"--count", "4", "--snr-2500hz", snr, "--out", wav}).status, 0);
        const std::string raw = raw_of(wav);
        int most = 0;
        for (std::size_t i = 0; i + 1 < raw.size(); i += 2) {
            const auto low = static_cast<unsigned char>(raw[i]);
            const auto high = static_cast<signed char>(raw[i + 1]);
            most = std::max(most, std::abs(high * 256 + low));
        }
        EXPECT_GT(most, 1000) << snr;
        EXPECT_LT(most, 32000) << snr;
    }
}

TEST_F(DrillVerb, MarksCharacterByCharacter) {
    const std::string sent = folder_.put("s.txt", "HHXQV ABCDE\nQVA7 [AR]\n");
    const std::string typed = folder_.put("t.txt", "hsxqv a_cde qvva7\n");
    const Ended ended = drill({"--answer", typed, "--sent", sent, "--wpm", "15"});
    EXPECT_EQ(ended.status, 1) << ended.error;  // 12 of 15 and one put in
    // Which of the two V is the one put in cannot be told; the marks stand below their characters.
    EXPECT_NE(ended.out.find("sent   HHXQV ABCDE Q"), std::string::npos) << ended.out;
    EXPECT_NE(ended.out.find("typed  HSXQV A_CDE QVVA7\n        x     _     "), std::string::npos)
        << ended.out;
    EXPECT_NE(ended.out.find("12 of 15 characters right (75 %): 1 wrong, 1 left open, 1 missing"),
              std::string::npos)
        << ended.out;
    EXPECT_NE(ended.out.find("1 put in; 2 of 3 gaps"), std::string::npos) << ended.out;
    EXPECT_NE(ended.out.find("S was typed for H: once"), std::string::npos) << ended.out;
    EXPECT_NE(ended.out.find("Take level"), std::string::npos) << ended.out;
    expect_80_columns(ended.out);
    const auto line = json_lines(drill({"--json", "--answer", typed, "--sent", sent}).out).at(0);
    EXPECT_EQ(line.at("event"), "marked");
    EXPECT_EQ(line.at("open"), 1);
    EXPECT_NEAR(line.at("right_share").get<double>(), 12.0 / 16.0, 1e-9);
    EXPECT_LT(line.at("speed_ratio").get<double>(), 1.0);
    EXPECT_TRUE(line.at("next_wpm").is_null());  // the speed was not told
    EXPECT_EQ(line.at("pairs").size(), 1U);
    const Ended right = drill({"--answer", sent, "--sent", sent});
    EXPECT_EQ(right.status, 0);
    EXPECT_NE(right.out.find("faster"), std::string::npos) << right.out;
}

TEST_F(DrillVerb, LongMarksStayWithin80Columns) {
    std::string sent;
    std::string typed;
    for (int i = 0; i < 40; ++i) {
        sent += "QVA7 [KN] [SK]\n";
        typed += i % 3 == 0 ? "QVA7[SK] " : "QVB7 [KN] [SK] ";
    }
    const Ended ended =
        drill({"--answer", folder_.put("t.txt", typed), "--sent", folder_.put("s.txt", sent)});
    EXPECT_EQ(ended.status, 1) << ended.error;
    expect_80_columns(ended.out);
}

// K was wrong every time, so that the next text of the same seed has more of it.
TEST_F(DrillVerb, TheLogWeighsTheNextText) {
    const std::string log = folder_.path("log.db");
    const std::vector<std::string> asked{"--count", "100", "--seed",     "1000",
                                         "--who",   "Ann", "--log-file", log};
    const auto ks = [](const std::string& text) {
        return std::count(text.begin(), text.end(), 'K');
    };
    const Ended before = drill(asked);
    EXPECT_EQ(before.status, 0) << before.error;
    EXPECT_FALSE(std::filesystem::exists(log));  // asking for a text writes nothing
    const std::string sent = folder_.put("s.txt", "KAKBK CKDKE KFKGK HKIKJ");
    const std::string typed = folder_.put("t.txt", "RARBR CRDRE RFRGR HRIRJ");
    EXPECT_EQ(drill({"--answer", typed, "--sent", sent, "--who", "Ann", "--log-file", log}).status,
              1);
    const auto entries = json_lines(
        run_skedlark({"log", "--json", "--kind", "practice", "--who", "Ann", "--log-file", log})
            .out);
    ASSERT_EQ(entries.size(), 1U);
    double wrong_k = 0.0;
    for (const auto& one : entries[0].at("measurements")) {
        if (one.at("name") == "wrong_K") wrong_k = one.at("value").get<double>();
    }
    EXPECT_EQ(wrong_k, 10.0);
    const Ended after = drill(asked);
    EXPECT_NE(after.error.find("1 earlier exercises of Ann; more of: K"), std::string::npos)
        << after.error;
    EXPECT_GT(ks(after.out), 2 * ks(before.out));
    // Another person's text is as it was.
    EXPECT_EQ(drill({"--count", "100", "--seed", "1000", "--who", "Bea", "--log-file", log}).out,
              before.out);
}

TEST_F(DrillVerb, WhatIsWrongIsNamed) {
    const std::string good = folder_.put("good.txt", "ABC");
    const auto fails = [&](std::vector<std::string> arguments, const std::string& message) {
        const Ended ended = drill(std::move(arguments));
        EXPECT_EQ(ended.status, 2) << ended.error << ended.out;
        EXPECT_NE(ended.error.find(message), std::string::npos) << ended.error;
    };
    const auto answer = [&](const std::string& content) {
        return std::vector<std::string>{"--answer", folder_.put("a.txt", content), "--sent", good};
    };
    const std::string wav = folder_.path("x.wav");
    fails({"--kind", "lessons"}, "--kind");
    fails({"--count", "0"}, "--count");
    fails({"--count", "201"}, "--count");
    fails({"--out", wav, "--snr-2500hz", "61"}, "--snr-2500hz");
    fails({"--out", wav, "--snr-2500hz", "-31"}, "--snr-2500hz");
    fails({"--out", wav, "--fading", "stormy"}, "mid-quiet");
    fails({"--out", wav, "--wpm", "3"}, "--wpm");
    fails({"--out", folder_.path("x.ogg")}, "must end in .wav or .flac");
    fails({"--out", folder_.path("none/x.wav")}, "none/x.wav");
    fails({"--snr-2500hz", "3"}, "--out");
    fails({"--wpm", "15"}, "--out");
    fails({"--answer", good}, "--sent");
    fails({"--sent", good}, "--answer");
    fails({"--answer", good, "--sent", good, "--count", "3"}, "--count");
    fails({"--log-file", folder_.path("log.db")}, "--who");
    fails(answer(""), "a.txt: is empty");
    fails(answer(" \n\t"), "a.txt: is empty");
    fails(answer("AB\nC#D"), "\"#\" at line 2, character 2");
    fails(answer("CAF\xE9"), "byte 0xE9 at line 1, character 4");
    fails(answer("AB [XX]"), "\"[XX]\" at line 1, character 4");
    fails(answer(std::string(6000, 'A')), "allowed are up to 5000");
    fails({"--answer", folder_.path("none.txt"), "--sent", good}, "none.txt");
    fails({"--answer", good, "--sent", folder_.path("")}, "directory");
    fails({"--answer", good, "--sent", folder_.put("o.txt", "A_C")}, "\"_\" at line 1");
    fails({"--answer", "", "--sent", good}, "");
    EXPECT_FALSE(std::filesystem::exists(wav));
}

TEST_F(DrillVerb, HelpSaysHowToGradeAndWarns) {
    const Ended ended = drill({"--help"});
    EXPECT_EQ(ended.status, 0);
    EXPECT_NE(ended.out.find("headphones turned low"), std::string::npos);
    EXPECT_NE(ended.out.find("fist --text-file"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::test
