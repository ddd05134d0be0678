#include "dsp/fist/grading.h"

#include "dsp/fist/key_line.h"
#include "dsp/synth/keyer.h"
#include "tests/dsp/fist/scenes.h"

namespace skedlark::fist {
namespace {

const std::string kText = "QVA7 DE QXB2 [BT] ALL WELL AT THE HUT SNOW ON THE PASS [AR]";

GradeOptions with_text(const std::string& text) {
    GradeOptions options;
    options.text = *morse::symbols_from_text(text);
    return options;
}

TEST(Grading, MachineSendingIsFullMarks) {
    auto config = scene_config(kText, "machine", 15.0, 1);
    config.beat.pitch_hz = 633.0;
    const auto scene = made(config);
    const auto g = grade(scene.samples, with_text(kText));
    ASSERT_TRUE(g) << g.error().message;
    EXPECT_NEAR(g->pitch_hz, 633.0, 1.0);
    EXPECT_TRUE(g->right());
    EXPECT_GT(g->score.total, 99.9);
    EXPECT_TRUE(g->faults.empty());
    EXPECT_TRUE(g->others.empty());
    EXPECT_EQ(g->text(), kText);
    EXPECT_NEAR(g->keying.snr_2500hz_db, 15.0, 1.5);
    EXPECT_NEAR(g->sent_s, g->seconds - 2.0, 0.2);
}

TEST(Grading, AShortSending) {
    const auto scene = made(scene_config("QVA7 K", "machine", 15.0, 2));
    const auto g = grade(scene.samples, {});
    ASSERT_TRUE(g) << g.error().message;
    EXPECT_EQ(g->text(), "QVA7 K");
}

TEST(Grading, WrongTextLowersTheScore) {
    const auto scene = made(scene_config(kText, "machine", 15.0, 3));
    std::string other = kText;
    other[other.find("HUT")] = 'C';
    const auto g = grade(scene.samples, with_text(other));
    ASSERT_TRUE(g);
    EXPECT_FALSE(g->right());
    EXPECT_LT(g->score.total, 99.0);
}

TEST(Grading, TwoSenders) {
    auto config = scene_config(kText, "machine", 15.0, 4);
    synth::StationConfig other;
    other.transmissions = {{1.0, "VVV VVV DE QZZ9 QZZ9 VVV VVV"}};
    other.offset_hz = 300.0;
    other.level_db = -6.0;
    config.neighbours.push_back(other);
    const auto scene = made(config);
    const auto g = grade(scene.samples, {});
    ASSERT_TRUE(g);
    EXPECT_NEAR(g->pitch_hz, 700.0, 2.0);
    ASSERT_EQ(g->others.size(), 1U);
    EXPECT_NEAR(g->others[0].pitch_hz, 1000.0, 5.0);
    GradeOptions at;
    at.pitch_hz = 1010.0;
    const auto second = grade(scene.samples, at);
    ASSERT_TRUE(second);
    EXPECT_EQ(second->text(), "VVV VVV DE QZZ9 QZZ9 VVV VVV");
    at.pitch_hz = 2000.0;
    const auto none = grade(scene.samples, at);
    ASSERT_FALSE(none);
    EXPECT_NE(none.error().message.find("2000 Hz"), std::string::npos);
}

// Drift moves the pitch by 30 Hz and a knock by 60 more: still one sender.
TEST(Grading, ADriftingReceiverIsNoSecondSender) {
    auto config = scene_config(kText + " " + kText, "machine", 12.0, 6);
    config.beat.drift_hz_per_s = 0.5;
    config.beat.knocks.push_back({30.0, 60.0, 0.0});
    const auto scene = made(config);
    const auto g = grade(scene.samples, {});
    ASSERT_TRUE(g) << g.error().message;
    EXPECT_TRUE(g->others.empty());
}

// The key's own edges: what the keyer meant, without a tone.
TEST(Grading, MarksOfTheKeyItself) {
    synth::Keyer keyer({18.0, 0.0, *synth::fist_by_name("machine")}, 1);
    synth::Keyed keyed;
    ASSERT_TRUE(keyer.send(kText, 1.0, keyed));
    std::vector<KeyMark> key;
    for (const synth::Mark& mark : keyed.marks) key.push_back({mark.on_s, mark.off_s});
    const auto g = grade_marks(keying_of(key), with_text(kText));
    ASSERT_TRUE(g);
    EXPECT_TRUE(g->right());
    EXPECT_EQ(g->text(), kText);
    EXPECT_NEAR(g->score.total, 100.0, 1e-6);
    EXPECT_NEAR(g->statistics.character_wpm, 18.0, 1e-6);
    EXPECT_EQ(g->seconds, key.back().off_s);
    EXPECT_FALSE(grade_marks({}, {}));
}

TEST(Grading, TooWeakIsSaid) {
    const auto scene = made(scene_config(kText, "machine", -9.0, 7));
    const auto g = grade(scene.samples, {});
    ASSERT_FALSE(g);
    EXPECT_NE(g.error().message.find("too weak"), std::string::npos) << g.error().message;
}

TEST(Grading, NothingKeyed) {
    EXPECT_FALSE(grade({}, {}));
    EXPECT_FALSE(grade(std::vector<float>(80000, 0.0F), {}));
    auto config = scene_config("E", "machine", 15.0, 5);
    const auto scene = made(config);
    EXPECT_FALSE(grade(scene.samples, {}));  // a dot tells no hand
}

}  // namespace
}  // namespace skedlark::fist
