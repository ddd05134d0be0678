#include "gui/fist/attempt.h"

#include "dsp/synth/keyer.h"
#include "tests/desk/fist/sendings.h"

namespace skedlark::gui {
namespace {

const std::string kText = "QVA7 DE QXB2 [BT] ALL WELL AT THE HUT [AR]";

TEST(Attempt, AFileIsReadAndGraded) {
    const log::TempFolder folder;
    const auto audio = sending(kText);
    const std::string path = write_wav(folder, "a.wav", {audio});
    const std::atomic<bool> stop{false};
    auto attempt = read_attempt({path, 1, 0}, stop);
    ASSERT_TRUE(attempt) << attempt.error().message;
    EXPECT_EQ(attempt->audio.size(), audio.size());
    attempt->text = *morse::symbols_from_text(kText);
    grade_attempt(*attempt);
    ASSERT_TRUE(attempt->grade) << attempt->failure;
    EXPECT_TRUE(attempt->grade->right());
    EXPECT_GT(attempt->grade->score.total, 99.0);
    const auto stretch = attempt->stretch(1.0, 2.0);
    ASSERT_EQ(stretch.size(), 8000U);
    EXPECT_EQ(stretch.front(), attempt->audio[8000]);
    EXPECT_EQ(attempt->stretch(-5.0, 1.0).size(), 8000U);
    EXPECT_TRUE(attempt->stretch(1e6, 2e6).empty());
}

TEST(Attempt, WhatCannotBeReadIsNamed) {
    const log::TempFolder folder;
    const std::atomic<bool> stop{false};
    const auto none = read_attempt({folder.path("none.wav"), 1, 0}, stop);
    ASSERT_FALSE(none);
    EXPECT_NE(none.error().message.find("none.wav"), std::string::npos);
    const std::string path = write_wav(folder, "b.wav", {std::vector<float>(8000, 0.0F)});
    EXPECT_FALSE(read_attempt({path, 3, 0}, stop));
    const auto same = read_attempt({path, 1, 1}, stop);
    ASSERT_FALSE(same);
    EXPECT_NE(same.error().message.find("key channel: 1"), std::string::npos);
    const auto beyond = read_attempt({path, 1, 2}, stop);
    ASSERT_FALSE(beyond);
    EXPECT_NE(beyond.error().message.find("key channel"), std::string::npos);
}

TEST(Attempt, NoKeyingIsAStateAndNoGrade) {
    Attempt attempt;
    attempt.audio.assign(80000, 0.0F);
    grade_attempt(attempt);
    EXPECT_FALSE(attempt.grade);
    EXPECT_EQ(attempt.failure, "no keyed tone is in it");
}

// The key's line stands beside the tone: what both are late by alike is no fault.
TEST(Attempt, TheKeysChannelIsComparedAndASilentOneNamed) {
    const log::TempFolder folder;
    const auto scene = fist::made(fist::scene_config(kText, "machine", 20.0, 1));
    std::vector<float> key(scene.samples.size(), 0.0F);
    for (const synth::Mark& mark : scene.truth.wanted.marks) {
        const auto from = static_cast<std::ptrdiff_t>(mark.on_s * 8000);
        const auto to = static_cast<std::ptrdiff_t>(mark.off_s * 8000);
        std::fill(key.begin() + from, key.begin() + to, 0.5F);
    }
    const std::atomic<bool> stop{false};
    auto attempt = read_attempt({write_wav(folder, "k.wav", {scene.samples, key}), 1, 2}, stop);
    ASSERT_TRUE(attempt) << attempt.error().message;
    grade_attempt(*attempt);
    ASSERT_TRUE(attempt->key) << attempt->key_failure;
    EXPECT_EQ(attempt->key->dots_lost + attempt->key->dashes_lost, 0);
    EXPECT_NEAR(attempt->key->shortened.mean_s, 0.0, 0.001);
    attempt->key_audio.assign(attempt->audio.size(), 0.0F);
    grade_attempt(*attempt);
    EXPECT_TRUE(attempt->grade);
    EXPECT_NE(attempt->key_failure.find("key channel"), std::string::npos);
}

TEST(Attempt, AKeysOwnMarks) {
    synth::Keyer keyer({16.0, 0.0, *synth::fist_by_name("machine")}, 1);
    synth::Keyed keyed;
    ASSERT_TRUE(keyer.send(kText, 1.0, keyed));
    std::vector<fist::KeyMark> marks;
    for (const synth::Mark& mark : keyed.marks) marks.push_back({mark.on_s, mark.off_s});
    const Attempt attempt =
        attempt_of_key(marks, 0.001, *morse::symbols_from_text(kText), UtcTime{});
    ASSERT_TRUE(attempt.grade);
    EXPECT_TRUE(attempt.of_key);
    EXPECT_TRUE(attempt.grade->right());
    EXPECT_NEAR(attempt.grade->statistics.character_wpm, 16.0, 1e-6);
    EXPECT_TRUE(attempt.stretch(0.0, 5.0).empty());
    EXPECT_FALSE(attempt_of_key({}, 0.001, {}, UtcTime{}).grade);
}

}  // namespace
}  // namespace skedlark::gui
