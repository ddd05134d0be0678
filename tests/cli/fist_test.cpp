// skedlark fist, run as from a shell.
#include <gtest/gtest.h>

#include <cmath>
#include <sstream>

#include "tests/cli/scenes.h"

namespace skedlark::test {
namespace {

const std::string kText = "QVA7 DE QXB2 [BT] ALL WELL AT THE HUT SNOW ON THE PASS [AR]";

class FistVerb : public ::testing::Test {
 protected:
    std::string sound(const std::string& name, const std::string& text,
                      std::vector<std::string> more = {}) {
        return keyed(folder_, name, text, std::move(more));
    }
    Ended fist(std::vector<std::string> arguments) {
        arguments.insert(arguments.begin(), "fist");
        return run_skedlark(arguments);
    }
    TempFolder folder_;
};

TEST_F(FistVerb, SentRight) {
    const std::string file = sound("a.wav", kText);
    const std::string text = folder_.put("a.txt",
                                         "qva7 de qxb2 [bt]\nall well at the hut\r\n"
                                         "snow on the pass [AR]\n");
    const Ended ended = fist({"--text-file", text, file});
    EXPECT_EQ(ended.status, 0) << ended.error << ended.out;
    EXPECT_NE(ended.out.find("Score 100 of 100"), std::string::npos) << ended.out;
    EXPECT_NE(ended.out.find("40 of 40 characters right"), std::string::npos) << ended.out;
    EXPECT_NE(ended.out.find("No fault of hand or transmitter"), std::string::npos) << ended.out;
    std::istringstream lines(ended.out);
    for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), 80U) << line;
}

// The fields that others build on: design of the JSON summary.
TEST_F(FistVerb, JsonHasTheFields) {
    const std::string file = sound("b.wav", kText);
    const std::string text =
        folder_.put("b.txt", "QVA7 DE QXB2 [BT] ALL WELL AT THE CUT SNOW ON THE PASS [AR]");
    const Ended ended = fist({"--json", "--text-file", text, file});
    EXPECT_EQ(ended.status, 1) << ended.error;
    const auto lines = json_lines(ended.out);
    ASSERT_EQ(lines.size(), 3U) << ended.out;
    EXPECT_EQ(lines[0].at("event"), "input");
    // Each mark and gap in turn; ITU-R M.1677-1: a dash is three dots.
    EXPECT_EQ(lines[1].at("event"), "keying");
    const auto& lengths = lines[1].at("lengths");
    ASSERT_EQ(lengths.size() % 2, 1U);
    for (std::size_t i = 0; i < lengths.size(); ++i) {
        const std::string kind = lengths[i].at(0);
        EXPECT_EQ(i % 2 == 1, kind.ends_with("_gap")) << kind;
        if (kind == "dash") {
            EXPECT_NEAR(lengths[i].at(2).get<double>(), 180.0, 6.0);
        }
        if (i > 0) {
            EXPECT_GT(lengths[i].at(1), lengths[i - 1].at(1));
        }
    }
    const auto& summary = lines[2];
    EXPECT_EQ(summary.at("event"), "summary");
    EXPECT_TRUE(summary.at("faults").is_array());
    EXPECT_NEAR(summary.at("score").get<double>(), 100.0 * 39 / 40, 0.2);
    ASSERT_EQ(summary.at("errors").size(), 1U);
    EXPECT_EQ(summary.at("errors")[0].at("kind"), "wrong");
    EXPECT_EQ(summary.at("errors")[0].at("meant"), "C");
    EXPECT_EQ(summary.at("errors")[0].at("sent"), "H");
    EXPECT_GT(summary.at("errors")[0].at("at_s").get<double>(), 5.0);
    const auto& tone = summary.at("tones").at(0);
    EXPECT_NEAR(tone.at("pitch_hz").get<double>(), 700.0, 1.0);
    EXPECT_NEAR(tone.at("speed_wpm").get<double>(), 20.0, 0.2);
    EXPECT_EQ(tone.at("text"), kText);
    // ITU-R M.1677-1 at 20 words a minute of PARIS: 60, 180 and 60, 180, 420 ms.
    EXPECT_NEAR(tone.at("timing").at("dot_ms").get<double>(), 60.0, 1.0);
    EXPECT_NEAR(tone.at("timing").at("dash_ms").get<double>(), 180.0, 1.0);
    EXPECT_NEAR(tone.at("timing").at("word_gap_ms").get<double>(), 420.0, 2.0);
    EXPECT_NEAR(tone.at("timing").at("dash_to_dot").get<double>(), 3.0, 0.05);
}

TEST_F(FistVerb, WithoutTheTextItIsGradedAllTheSame) {
    const std::string file = sound("c.wav", kText, {"--fist", "swinging"});
    const Ended ended = fist({file});
    EXPECT_EQ(ended.status, 0) << ended.error;
    EXPECT_EQ(ended.out.find("Against the text"), std::string::npos);
    const Ended piped = run_shell("\"$SKEDLARK\" fist --json - < " + file);
    EXPECT_EQ(piped.status, 0) << piped.error;
    const Ended raw =
        run_shell("tail -c +45 " + file + " | \"$SKEDLARK\" fist --json --raw 8000 -");
    EXPECT_EQ(raw.status, 0) << raw.error;
    EXPECT_EQ(json_lines(raw.out).back().at("score"), json_lines(piped.out).back().at("score"));
}

TEST_F(FistVerb, WhatIsWrongIsNamed) {
    const std::string file = sound("d.wav", kText);
    const auto fails = [&](std::vector<std::string> arguments, const std::string& message) {
        const Ended ended = fist(std::move(arguments));
        EXPECT_EQ(ended.status, 2) << ended.error;
        EXPECT_NE(ended.error.find(message), std::string::npos) << ended.error;
        EXPECT_FALSE(ended.timed_out);
    };
    const auto text = [&](const std::string& content) { return folder_.put("t.txt", content); };
    fails({"--text-file", text("ALL WELL\nAT THE #HUT"), file}, "\"#\" at line 2, character 8");
    fails({"--text-file", text("ALL [XX]"), file}, "\"[XX]\" at line 1, character 5");
    fails({"--text-file", text("CAF\xE9"), file}, "byte 0xE9 at line 1, character 4");
    fails({"--text-file",
           text(std::string("\xFF\xFE"
                            "A\0",
                            4)),
           file},
          "UTF-16");
    fails({"--text-file", text(" \n"), file}, "is empty");
    fails({"--text-file", folder_.path("none.txt"), file}, "none.txt");
    fails({"--key-channel", "1", file}, "--key-channel");
    fails({"--key-channel", "2", file}, "channel");
    fails({"--key-channel", "2", "-"}, "--key-channel");
    fails({"--pitch", "9", file}, "--pitch");
    fails({"--wpm", "100", file}, "--wpm");
    fails({}, "INPUT is missing");
    fails({folder_.path("none.wav")}, "none.wav");
    fails({folder_.put("x.wav", "no sound")}, "x.wav");
}

TEST_F(FistVerb, NothingKeyedIsANo) {
    const Ended ended = run_shell("head -c 320000 /dev/zero | \"$SKEDLARK\" fist --raw 8000 -");
    EXPECT_EQ(ended.status, 1) << ended.error;
    EXPECT_NE(ended.error.find("no keyed tone"), std::string::npos) << ended.error;
    const std::string file = sound("e.wav", kText);
    const Ended away = fist({"--pitch", "1500", file});
    EXPECT_EQ(away.status, 1);
    EXPECT_NE(away.error.find("nearest is at 700 Hz"), std::string::npos) << away.error;
    EXPECT_EQ(fist({sound("f.wav", "E")}).status, 1);
}

// Two channels by hand: what `key` made on the first, the key line on the second.
TEST_F(FistVerb, TheKeyBesideTheTone) {
    const std::string file = sound("g.wav", kText);
    const std::string mono = raw_of(file);
    const auto two = [&](const std::string& name, bool silent) {
        const auto truth = nlohmann::json::parse(content_of(folder_.path("g.wav.json")));
        std::vector<double> edges;
        for (const auto& mark : truth.at("wanted").at("marks_on_off_s")) {
            edges.push_back(mark.at(0).get<double>());
            edges.push_back(mark.at(1).get<double>());
        }
        std::string data;
        std::size_t next = 0;
        for (std::size_t n = 0; n < mono.size() / 2; ++n) {
            while (next < edges.size() && static_cast<double>(n) / 8000.0 >= edges[next]) ++next;
            data += mono.substr(2 * n, 2) + samples_16bit({!silent && next % 2 == 1 ? 9000 : 0});
        }
        return folder_.put(name,
                           wav_header(8000, 2, static_cast<std::uint32_t>(data.size())) + data);
    };
    const Ended ended = fist({"--json", "--key-channel", "2", two("two.wav", false)});
    EXPECT_EQ(ended.status, 0) << ended.error;
    const auto key = json_lines(ended.out).back().at("key");
    EXPECT_EQ(key.at("dots_lost"), 0);
    EXPECT_EQ(key.at("dashes_lost"), 0);
    EXPECT_NEAR(key.at("shortened_ms").get<double>(), 0.0, 1.0);
    EXPECT_NEAR(key.at("rise_late_ms").get<double>(), 0.0, 1.0);
    const Ended silent = fist({"--key-channel", "2", two("silent.wav", true)});
    EXPECT_EQ(silent.status, 2);
    EXPECT_NE(silent.error.find("key channel"), std::string::npos) << silent.error;
    EXPECT_NE(silent.out.find("Score"), std::string::npos);  // the tone is graded all the same
}

TEST_F(FistVerb, KeptInTheLog) {
    const std::string log = folder_.path("log.db");
    const Ended ended = fist({"--who", "Ann", "--log-file", log, sound("h.wav", kText)});
    EXPECT_EQ(ended.status, 0) << ended.error;
    const auto entries = json_lines(
        run_skedlark({"log", "--json", "--kind", "practice", "--who", "Ann", "--log-file", log})
            .out);
    ASSERT_EQ(entries.size(), 1U);
    bool scored = false;
    for (const auto& one : entries[0].at("measurements")) {
        scored = scored || (one.at("name") == "score" && one.at("value").get<double>() > 99.0);
    }
    EXPECT_TRUE(scored);
    const std::string shown =
        run_skedlark({"log", "--kind", "fist", "--who", "Ann", "--log-file", log}).out;
    EXPECT_NE(shown.find("Weeks of Ann"), std::string::npos) << shown;
    const auto lines = json_lines(
        run_skedlark({"log", "--json", "--kind", "fist", "--who", "Ann", "--log-file", log}).out);
    ASSERT_EQ(lines.size(), 2U);
    EXPECT_EQ(lines[1].at("event"), "sending_week");
    EXPECT_EQ(lines[1].at("attempts"), 1);
}

TEST_F(FistVerb, TheFixedTestIsPrintedAndGraded) {
    const std::string printed = run_skedlark({"drill", "--kind", "test"}).out;
    const std::string file = sound("test.wav", printed);
    const std::string log = folder_.path("log.db");
    const Ended ended = fist({"--test", "--who", "Ann", "--log-file", log, file});
    EXPECT_EQ(ended.status, 0) << ended.error << ended.out;
    const auto lines = json_lines(
        run_skedlark({"log", "--json", "--kind", "fist", "--who", "Ann", "--log-file", log}).out);
    ASSERT_EQ(lines.size(), 2U);
    EXPECT_EQ(lines[1].at("tests"), 1);
    EXPECT_GT(lines[1].at("test_score").get<double>(), 99.0);
}

TEST_F(FistVerb, SeveralFilesAndTheWorstOfThem) {
    const std::string good = sound("i.wav", "PARIS CODEX QVA");
    const std::string bad = sound("j.wav", "PARIS CODEX QVX");
    const std::string text = folder_.put("t.txt", "PARIS CODEX QVA");
    EXPECT_EQ(fist({"--text-file", text, good}).status, 0);
    EXPECT_EQ(fist({"--text-file", text, good, bad}).status, 1);
    EXPECT_EQ(fist({"--text-file", text, bad, good}).status, 1);
}

}  // namespace
}  // namespace skedlark::test
