// skedlark sheet, run as from a shell: results of the real verbs on paper.
#include <gtest/gtest.h>

#include <filesystem>

#include "tests/cli/scenes.h"

namespace skedlark::test {
namespace {

class SheetVerb : public ::testing::Test {
 protected:
    Ended sheet(std::vector<std::string> arguments) {
        arguments.insert(arguments.begin(), "sheet");
        return run_skedlark(arguments);
    }
    void expect_refused(std::vector<std::string> arguments, const std::string& message) {
        const Ended ended = sheet(std::move(arguments));
        EXPECT_EQ(ended.status, 2) << ended.error;
        EXPECT_NE(ended.error.find(message), std::string::npos) << message << "\n" << ended.error;
        EXPECT_EQ(ended.out, "");
    }
    const std::string good_ =
        "{\"event\":\"marked\",\"sent_file\":\"x\",\"sent\":4,\"right\":3,\"right_share\":0.75,"
        "\"pairs\":[],\"characters\":[]}\n";
    TempFolder folder_;
};

// The figures on the sheet are those of the JSON it is made of.
TEST_F(SheetVerb, ASendingGradedAndPrinted) {
    const std::string file = keyed(folder_, "a.wav", "QVA7 DE QXB2 ALL WELL AT THE HUT", {});
    const Ended graded = run_skedlark({"fist", "--json", file});
    ASSERT_EQ(graded.status, 0) << graded.error;
    const std::string result = folder_.put("a.json", graded.out);
    const std::string html = folder_.path("a.html");
    const Ended ended = sheet({result, "--out", html, "--note", "trainee A"});
    ASSERT_EQ(ended.status, 0) << ended.error;
    EXPECT_EQ(ended.error, "");
    const std::string content = content_of(html);
    const auto summary = json_lines(graded.out).back();
    char score[32];
    std::snprintf(score, sizeof score, "Score %.1f of 100", summary.at("score").get<double>());
    EXPECT_NE(content.find(score), std::string::npos) << score;
    EXPECT_NE(content.find("trainee A"), std::string::npos);
    EXPECT_NE(content.find("<svg "), std::string::npos);
    EXPECT_EQ(sheet({result, "--out", folder_.path("a.pdf")}).status, 0);
    EXPECT_EQ(content_of(folder_.path("a.pdf")).substr(0, 5), "%PDF-");
    // No display is needed, whatever the environment says.
    const Ended bare =
        run_shell("env -i \"$SKEDLARK\" sheet --force --out " + html + " - < " + result);
    EXPECT_EQ(bare.status, 0) << bare.error;
}

TEST_F(SheetVerb, AFileIsNotOverwritten) {
    const std::string result = folder_.put("r.json", good_);
    const std::string out = folder_.put("r.pdf", "mine");
    expect_refused({result, "--out", out}, out + ": is there already");
    EXPECT_EQ(content_of(out), "mine");
    EXPECT_EQ(sheet({result, "--out", out, "--force"}).status, 0);
    EXPECT_NE(content_of(out), "mine");
}

TEST_F(SheetVerb, WhatIsWrongIsNamed) {
    const std::string result = folder_.put("r.json", good_);
    const std::string out = folder_.path("o.pdf");
    expect_refused({result}, "--out");
    expect_refused({"--out", out}, "RESULT");
    expect_refused({result, "--out", folder_.path("o.txt")}, "must end in .html or .pdf");
    expect_refused({result, "--out", out, "--paper", "a3"}, "a4, letter");
    expect_refused({folder_.path("none.json"), "--out", out}, "none.json");
    expect_refused({folder_.put("bad.json", good_ + "{\"event\":"), "--out", out}, "bad.json:2");
    expect_refused({folder_.put("empty.json", ""), "--out", out}, "holds no result");
    expect_refused({result, folder_.put("copy.json", "{\"event\":\"char\"}"), "--out", out},
                   "copy.json:1: 'char' is of copy");
    expect_refused(
        {folder_.put("field.json",
                     "{\"event\":\"marked\",\"sent\":1,\"right\":1,\"right_share\":\"x\"}"),
         "--out", out},
        "field.json:1: right_share");
    expect_refused({result, "--out", folder_.path("no/such/o.pdf")}, "o.pdf");
    EXPECT_FALSE(std::filesystem::exists(out));
}

// A bench test with its curve, before and after, and the log.
TEST_F(SheetVerb, ABenchBeforeAndAfterARepair) {
    const std::string log = folder_.path("log.db");
    const auto tone = [&](const char* name, const char* snr) {
        const std::string file = keyed(folder_, std::string(name) + ".wav", "T T T T T T",
                                       {"--snr-2500hz", snr, "--wpm", "4"});
        const Ended ended = run_skedlark(
            {"bench", "hum", "--json", "--log", "--log-file", log, "--receiver", "Hut set", file});
        EXPECT_LE(ended.status, 1) << ended.error;
        return folder_.put(std::string(name) + ".json", ended.out);
    };
    const std::string before = tone("before", "10");
    const std::string after = tone("after", "30");
    const std::string html = folder_.path("set.html");
    const Ended ended = sheet(
        {after, "--before", before, "--receiver", "Hut set", "--supply", "battery", "--out", html});
    ASSERT_EQ(ended.status, 0) << ended.error;
    const std::string content = content_of(html);
    EXPECT_NE(content.find("Before and after"), std::string::npos);
    EXPECT_NE(content.find("<dd>Hut set</dd>"), std::string::npos);
    EXPECT_NE(content.find("lethal"), std::string::npos);
    const Ended history = sheet({"--log", "--kind", "bench", "--receiver", "Hut set", "--log-file",
                                 log, "--out", folder_.path("history.pdf")});
    EXPECT_EQ(history.status, 0) << history.error;
    expect_refused(
        {folder_.put("r.json", good_), "--before", before, "--out", folder_.path("x.pdf")},
        "--before: is for results of bench");
}

TEST_F(SheetVerb, AWeekOfAPersonFromTheLog) {
    const std::string log = folder_.path("log.db");
    const std::string file = keyed(folder_, "a.wav", "QVA7 DE QXB2 ALL WELL AT THE HUT", {});
    ASSERT_EQ(run_skedlark({"fist", "--who", "Ann", "--log-file", log, file}).status, 0);
    const std::string html = folder_.path("ann.html");
    const Ended ended = sheet({"--log", "--who", "Ann", "--log-file", log, "--out", html});
    ASSERT_EQ(ended.status, 0) << ended.error;
    EXPECT_NE(content_of(html).find("Practice of Ann"), std::string::npos);
    const Ended nobody = sheet({"--log", "--who", "Bea", "--log-file", log, "--out", html});
    EXPECT_EQ(nobody.status, 1);
    EXPECT_NE(nobody.error.find("no entry of the log"), std::string::npos) << nobody.error;
    expect_refused({"--log", "--since", "soon", "--log-file", log, "--out", html}, "--since");
    expect_refused({"--log", file, "--out", html}, "cannot be used together");
    expect_refused({"--log", "--log-file", folder_.path("none.db"), "--out", html}, "none.db");
    expect_refused({"--who", "Ann", "--out", html}, "--log");
}

TEST_F(SheetVerb, WithoutTheProgramThatDraws) {
    const std::string alone = folder_.path("skedlark");
    std::filesystem::copy_file(skedlark_path(), alone);
    const std::string result = folder_.put("r.json", good_);
    const Ended ended = run_shell(alone + " sheet " + result + " --out " + folder_.path("o.pdf"));
    EXPECT_EQ(ended.status, 2);
    EXPECT_NE(ended.error.find("skedlark-sheet draws sheets and is not there"), std::string::npos)
        << ended.error;
    // Where helpers are installed it is found, too.
    std::filesystem::create_directories(folder_.path("bin"));
    std::filesystem::create_directories(folder_.path("libexec/skedlark"));
    std::filesystem::rename(alone, folder_.path("bin/skedlark"));
    std::filesystem::create_symlink(
        std::filesystem::path(skedlark_path()).parent_path() / "skedlark-sheet",
        folder_.path("libexec/skedlark/skedlark-sheet"));
    const Ended found = run_shell(folder_.path("bin/skedlark") + " sheet " + result + " --out " +
                                  folder_.path("o.pdf"));
    EXPECT_EQ(found.status, 0) << found.error;
}

}  // namespace
}  // namespace skedlark::test
