// The whole page without its widgets: a test led through by what a person does.
#include "gui/bench/bench_model.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>
#include <thread>

#include "tests/desk/bench/bench_sounds.h"
#include "tests/dsp/log/temp_folder.h"

namespace skedlark::gui {
namespace {

using test::HubOf;
using test::made;

class OnBench : public testing::Test {
 protected:
    OnBench() {
        setup_.log_file = folder_.path("log.db");
        setup_.receiver = "hut set";
        model_.set_setup(setup_);
        hub_.begin();
    }
    // Begins the step's recording, plays it, takes what is finished.
    void record(const std::vector<float>& audio) {
        EXPECT_FALSE(model_.start_or_stop(true, false));
        hub_.hear(audio);
        model_.refresh(now_);
    }
    void measured() {
        for (int i = 0; i < 2000 && model_.measuring(); ++i)
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
        now_ += std::chrono::minutes(1);
        model_.refresh(now_);
    }
    void a_tone(double snr_db, std::uint64_t seed) {
        model_.choose("tone");
        if (model_.run().at() == 0) model_.next();
        if (model_.run().at() == 2) model_.back();
        record(made({.snr_db = snr_db, .seed = seed}));
        model_.next();
        measured();
    }

    log::TempFolder folder_;
    BenchSetup setup_;
    BenchModel model_;
    HubOf hub_{*model_.user()};
    UtcTime now_{std::chrono::milliseconds(1796385600000)};
};

TEST_F(OnBench, AToneFromTheFirstStepToTheLog) {
    model_.choose("tone");
    EXPECT_EQ(model_.state_of("tone"), "");
    EXPECT_EQ(model_.progress_words(), "Done? Alt+Right goes on.");
    model_.start_or_stop(true, false);
    EXPECT_EQ(model_.problem(), "Nothing is recorded in this step: Alt+Right goes on.");
    model_.next();
    EXPECT_EQ(model_.problem(), "");
    EXPECT_EQ(model_.progress_words(), "F5 records 10 s.");
    EXPECT_FALSE(model_.start_or_stop(false, false));
    EXPECT_EQ(model_.problem(), "No sound comes in: Ctrl+L listens, Ctrl+F chooses a sound file.");
    model_.start_or_stop(true, false);
    hub_.hear(made({.seconds = 4.0, .snr_db = 20.0}));
    model_.refresh(now_);
    EXPECT_EQ(model_.progress_words(), "4 of 10 s");
    EXPECT_NEAR(model_.progress(), 0.4, 1e-6);
    EXPECT_FALSE(model_.picture().empty());
    model_.next();
    EXPECT_EQ(model_.problem(), "It is listening: F5 stops it, Esc gives it up.");
    model_.cancel();
    record(made({.snr_db = 20.0}));
    EXPECT_EQ(model_.progress_words(), "Recorded: 10.0 s. F5 records it anew.");
    model_.next();
    EXPECT_TRUE(model_.measuring() || model_.done() != nullptr);
    measured();
    ASSERT_NE(model_.done(), nullptr) << model_.problem();
    EXPECT_EQ(model_.progress_words(), "PASS: all 2 limits kept.");
    EXPECT_EQ(model_.state_of("tone"), "pass");
    EXPECT_EQ(model_.logged_words(), "Entry 1 of the log.");
    EXPECT_FALSE(model_.picture().empty());
}

TEST_F(OnBench, ARepeatedRecordingIsMeasuredAnewAndComparedWithTheOneBefore) {
    a_tone(10.0, 1);
    EXPECT_EQ(model_.state_of("tone"), "FAIL");
    EXPECT_TRUE(model_.changes().empty());
    a_tone(25.0, 2);
    EXPECT_EQ(model_.state_of("tone"), "pass");
    ASSERT_EQ(model_.earlier().size(), 2U);
    ASSERT_FALSE(model_.changes().empty());
    const auto sinad = std::find_if(model_.changes().begin(), model_.changes().end(),
                                    [](const ChangeRow& row) { return row.what == "sinad_db"; });
    ASSERT_NE(sinad, model_.changes().end());
    EXPECT_EQ(sinad->verdict, "CHANGED");
    a_tone(25.0, 3);
    model_.compare_with(1);
    EXPECT_EQ(model_.changes().empty(), false);
    setup_.receiver = "another";
    model_.set_setup(setup_);
    EXPECT_TRUE(model_.earlier().empty());
    EXPECT_NE(model_.history_words().find("another"), std::string::npos);
}

TEST_F(OnBench, WhatCannotBeMeasuredIsSaidInPlaceAndNotLogged) {
    model_.choose("tone");
    model_.next();
    std::vector<float> noise;
    for (const double x : bench::test::band_noise(80000, 8000.0, 300.0, 2700.0, 0.05, 3))
        noise.push_back(static_cast<float>(x));
    record(noise);
    model_.next();
    measured();
    EXPECT_EQ(model_.done(), nullptr);
    EXPECT_NE(model_.problem().find("no tone"), std::string::npos) << model_.problem();
    EXPECT_TRUE(model_.earlier().empty());
    EXPECT_FALSE(model_.save_result(folder_.path("x.jsonl")).ok());
}

TEST_F(OnBench, ClippedSoundIsRefusedAtOnce) {
    model_.choose("tone");
    model_.next();
    auto loud = made({.amplitude = 1.5});
    for (float& x : loud) x = std::clamp(x, -1.0F, 1.0F);
    record(loud);
    EXPECT_NE(model_.problem().find("clips"), std::string::npos);
    EXPECT_FALSE(model_.run().is_done(1));
}

TEST_F(OnBench, StepsOutOfOrderAndWrongLevelsAreRefusedInWords) {
    model_.choose("sensitivity");
    model_.go(2);
    EXPECT_NE(model_.problem().find("Steps go in order"), std::string::npos);
    model_.set_text("way", "levels");
    EXPECT_EQ(model_.problem(), "");
    model_.set_text("levels", "-110 -120");
    EXPECT_NE(model_.problem().find("must rise"), std::string::npos);
    model_.next();
    EXPECT_NE(model_.problem().find("must rise"), std::string::npos);
    EXPECT_EQ(model_.run().at(), 0U);
    model_.set_text("levels", "");
    EXPECT_NE(model_.problem().find("no generator level"), std::string::npos);
}

TEST_F(OnBench, LimitsAndChainFilesAreReadOrNamed) {
    setup_.limits_file = folder_.put("strict.toml", "[tone]\nsinad_db = { min = 60 }\n");
    model_.set_setup(setup_);
    a_tone(20.0, 1);
    EXPECT_EQ(model_.state_of("tone"), "FAIL");
    setup_.limits_file = folder_.put("wrong.toml", "[tone]\nloudness = { min = 25 }\n");
    model_.set_setup(setup_);
    a_tone(20.0, 2);
    EXPECT_NE(model_.problem().find("loudness"), std::string::npos) << model_.problem();
    setup_.limits_file.clear();
    setup_.chain_file = "/nowhere.toml";
    model_.set_setup(setup_);
    a_tone(20.0, 3);
    EXPECT_NE(model_.problem().find("/nowhere.toml"), std::string::npos) << model_.problem();
}

TEST_F(OnBench, OtherTestsKeepTheirStepsWhileOneIsLookedAt) {
    a_tone(20.0, 1);
    model_.choose("hum");
    EXPECT_EQ(model_.run().at(), 0U);
    EXPECT_EQ(model_.done(), nullptr);
    model_.next();
    model_.start_or_stop(true, false);
    model_.choose("tone");
    EXPECT_FALSE(model_.listening()) << "what was being recorded is given up";
    EXPECT_NE(model_.done(), nullptr);
    EXPECT_EQ(model_.state_of("hum"), "under way");
    EXPECT_EQ(model_.sheets().size(), 1U);
}

TEST_F(OnBench, AResultIsSavedAsTheProgramPrintsIt) {
    a_tone(20.0, 1);
    ASSERT_TRUE(model_.save_result(folder_.path("tone.jsonl")).ok());
    std::istringstream in(log::bytes_of(folder_.path("tone.jsonl")));
    std::vector<nlohmann::json> lines;
    for (std::string line; std::getline(in, line);) lines.push_back(nlohmann::json::parse(line));
    EXPECT_EQ(lines.front()["event"], "input");
    EXPECT_EQ(lines[1]["event"], "measurement");
    EXPECT_EQ(lines.back()["event"], "bench");
    EXPECT_EQ(lines.back()["pass"], true);
    EXPECT_FALSE(model_.save_chain(folder_.path("c.toml")).ok()) << "the test tone has none";
    EXPECT_FALSE(model_.save_result("/nowhere/x.jsonl").ok());
}

TEST_F(OnBench, DriftWithMarksUntilItIsStopped) {
    model_.choose("drift");
    model_.set_text("for", "20");
    model_.next();
    model_.start_or_stop(true, false);
    hub_.hear(made({.seconds = 30.0, .snr_db = 30.0}));
    model_.refresh(now_);
    model_.mark_supply(bench::Supply::low);
    model_.mark_off();
    EXPECT_EQ(model_.progress_words(), "0:30 min; the set is off");
    hub_.hear(made({.seconds = 10.0, .pitch_hz = 703.0, .snr_db = 30.0}));
    model_.refresh(now_);
    model_.mark_on();
    hub_.hear(made({.seconds = 20.0, .pitch_hz = 703.0, .snr_db = 30.0}));
    model_.refresh(now_);
    EXPECT_FALSE(model_.picture().empty());
    model_.start_or_stop(true, false);
    model_.refresh(now_);
    model_.next();
    measured();
    ASSERT_NE(model_.done(), nullptr) << model_.problem();
    EXPECT_NEAR(test::value(*model_.done(), "supply_prompt_hz"), 3.0, 0.1);
    EXPECT_NE(test::find(*model_.done(), "retrace_hz"), nullptr);
    EXPECT_EQ(model_.state_of("drift"), "FAIL") << "a jump, and none is allowed";
}

TEST_F(OnBench, AResultIsMeasuredAnewOnlyWhereThatIsAskedFor) {
    a_tone(20.0, 1);
    model_.back();
    model_.next();
    EXPECT_FALSE(model_.measuring()) << "nothing has changed";
    model_.start_or_stop(true, false);
    measured();
    EXPECT_EQ(model_.results(), 2);
}

TEST_F(OnBench, AFileIsBegunAnewForAStep) {
    model_.choose("tone");
    model_.next();
    EXPECT_TRUE(model_.start_or_stop(true, true)) << "the page opens it again";
    EXPECT_EQ(model_.progress_words(), "Waiting for the sound to begin.");
    hub_.end();
    hub_.begin(false);
    hub_.hear(made({.seconds = 5.0, .snr_db = 20.0}));
    hub_.end();
    model_.refresh(now_);
    EXPECT_EQ(model_.progress_words(), "Recorded: 5.0 s. F5 records it anew.");
}

}  // namespace
}  // namespace skedlark::gui
