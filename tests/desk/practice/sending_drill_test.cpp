#include "gui/practice/sending_drill.h"

#include <gtest/gtest.h>

#include "dsp/core/units.h"
#include "dsp/synth/keyer.h"
#include "tests/desk/practice/folder.h"

namespace skedlark::gui {
namespace {

// Sent on the key as a hand sends it.
void send(SendingDrill& drill, const std::string& text, const synth::Fist& hand,
          double wpm = 14.0) {
    synth::Keyer keyer({wpm, 0.0, hand}, 1);
    synth::Keyed keyed;
    ASSERT_TRUE(keyer.send(text, 100.0, keyed).ok());
    for (const synth::Mark& mark : keyed.marks) {
        drill.key(true, mark.on_s);
        drill.key(true, mark.on_s + 0.001);  // a repeat counts for nothing
        drill.key(false, mark.off_s);
    }
}

TEST(SendingDrill, MachineKeyingOfTheTextIsFullMarksAndIsLogged) {
    const TestFolder folder;
    PracticeLog log(folder.path("log.db"));
    log.set_who("Ann");
    SendingDrill drill(log);
    drill.key(true, 1.0);  // before it begins
    ASSERT_TRUE(drill.begin(fist::DrillKind::groups, 5, 1).ok());
    EXPECT_EQ(drill.phase(), SendingPhase::sending);
    send(drill, drill.text(), {});
    EXPECT_NE(drill.so_far().find(drill.text().substr(0, 20)), std::string::npos) << drill.so_far();
    ASSERT_TRUE(drill.end({}, true).ok());
    EXPECT_EQ(drill.phase(), SendingPhase::graded);
    EXPECT_GT(drill.grade()->score.total, 99.5);
    EXPECT_NEAR(drill.grade()->statistics.overall_wpm, 14.0, 0.7);  // groups of these letters
    EXPECT_NE(drill.result_words().find("Score 100 of 100.  25 of 25"), std::string::npos)
        << drill.result_words();
    EXPECT_EQ(log.record().sent, 1);
}

TEST(SendingDrill, WhatIsSentWrongWeighsTheNextText) {
    const TestFolder folder;
    PracticeLog log(folder.path("log.db"));
    log.set_who("Ann");
    SendingDrill drill(log);
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        ASSERT_TRUE(drill.begin(fist::DrillKind::groups, 20, seed).ok());
        std::string sent = drill.text();
        for (char& c : sent) c = c == 'K' ? 'N' : c;
        send(drill, sent, {});
        ASSERT_TRUE(drill.end({}, true).ok());
        EXPECT_NE(drill.result_words().find("K"), std::string::npos);
    }
    ASSERT_TRUE(drill.begin(fist::DrillKind::groups, 40, 9).ok());
    EXPECT_EQ(drill.more_of().substr(0, 1), "K");
    // One in 26 would be 8 of 200.
    EXPECT_GT(std::count(drill.text().begin(), drill.text().end(), 'K'), 16);
}

TEST(SendingDrill, NothingSentIsSaidAndTheExerciseGoesOn) {
    PracticeLog log;
    SendingDrill drill(log);
    EXPECT_TRUE(drill.end({}, true).ok());  // nothing to end
    ASSERT_TRUE(drill.begin(fist::DrillKind::calls, 2, 1).ok());
    const Status ended = drill.end({}, true);
    EXPECT_FALSE(ended.ok());
    EXPECT_EQ(drill.phase(), SendingPhase::sending);
    drill.key(true, 1.0);
    drill.key(false, 1.1);
    EXPECT_FALSE(drill.end({}, true).ok());  // one mark tells no hand
    EXPECT_EQ(drill.so_far(), "1 marks");
    EXPECT_FALSE(drill.begin(fist::DrillKind::calls, 0, 1).ok());
}

// A key line at the input: level there while the key is down, as a contact on a battery gives.
TEST(SendingDrill, AKeyAtTheInputIsTakenWhereTheSpaceBarWasNot) {
    PracticeLog log;
    SendingDrill drill(log);
    ASSERT_TRUE(drill.begin(fist::DrillKind::groups, 4, 3).ok());
    synth::Keyer keyer({15.0, 0.0, {}}, 1);
    synth::Keyed keyed;
    const auto end_s = keyer.send(drill.text(), 1.0, keyed);
    ASSERT_TRUE(end_s.ok());
    std::vector<float> audio(static_cast<std::size_t>((*end_s + 1.0) * kWorkRateHz), 0.0F);
    for (const synth::Mark& mark : keyed.marks) {
        for (auto n = static_cast<std::size_t>(mark.on_s * kWorkRateHz);
             n < static_cast<std::size_t>(mark.off_s * kWorkRateHz); ++n)
            audio[n] = 0.3F;
    }
    for (std::size_t at = 0; at < audio.size(); at += 400) {
        watch::Block block;
        block.audio = std::span(audio).subspan(at, std::min<std::size_t>(400, audio.size() - at));
        drill.line()->take(block, static_cast<FrameIndex>(at));
    }
    ASSERT_TRUE(drill.end({}, false).ok());
    EXPECT_EQ(drill.grade()->text(), drill.text());
    EXPECT_GT(drill.grade()->score.total, 99.0);
}

}  // namespace
}  // namespace skedlark::gui
