// A sending heard piece by piece must come to what grade() says of the whole.
#include "dsp/fist/live_sending.h"

#include "tests/dsp/fist/scenes.h"

namespace skedlark::fist {
namespace {

using morse::ElementKind;

LiveFigures heard(LiveSending& live, std::span<const float> audio, std::size_t block,
                  double every_s = 0.5) {
    LiveFigures out;
    double asked_s = 0.0;
    for (std::size_t from = 0; from < audio.size(); from += block) {
        live.add(audio.subspan(from, std::min(block, audio.size() - from)));
        const double at_s = static_cast<double>(from + block) / kWorkRateHz;
        if (at_s - asked_s < every_s) continue;
        asked_s = at_s;
        out = live.figures();
    }
    return live.figures();
}

class LiveHands : public testing::TestWithParam<const char*> {};

TEST_P(LiveHands, ComeToWhatTheWholeGives) {
    const auto scene = made(scene_config(groups(25, 1), GetParam(), 12.0, 1));
    const auto whole = grade(scene.samples, {});
    ASSERT_TRUE(whole);
    auto live = LiveSending::create();
    ASSERT_TRUE(live);
    const LiveFigures last = heard(*live, scene.samples, 400, 2.0);
    ASSERT_TRUE(last.grade);
    const Statistics& a = last.grade->statistics;
    const Statistics& b = whole->statistics;
    // The last mark may still be open; one more at either end of the tone's finding.
    EXPECT_NEAR(static_cast<double>(last.grade->keying.marks.size()),
                static_cast<double>(whole->keying.marks.size()), 2.0);
    EXPECT_NEAR(last.pitch_hz, 700.0, 1.0);
    EXPECT_NEAR(a.character_wpm / b.character_wpm, 1.0, 0.01);
    EXPECT_NEAR(a.dash_to_dot / b.dash_to_dot, 1.0, 0.02);
    for (const auto kind : {ElementKind::dot, ElementKind::dash, ElementKind::element_gap}) {
        EXPECT_NEAR(a.of(kind).mean_s / b.of(kind).mean_s, 1.0, 0.01);
        EXPECT_NEAR(a.of(kind).cv(), b.of(kind).cv(), 0.01);
    }
    EXPECT_NEAR(last.grade->score.total, whole->score.total, 2.0);
    EXPECT_NEAR(last.heard_s, whole->seconds, 1e-9);
}
INSTANTIATE_TEST_SUITE_P(Hands, LiveHands,
                         testing::Values("machine", "steady", "ordinary", "swinging",
                                         "semi-automatic", "poor"));

// How often it is asked may move an edge by a little, no more.
TEST(LiveSending, NearlyTheSameForAnyBlocksAndQuestions) {
    const auto scene = made(scene_config(groups(12, 2), "steady", 15.0, 2));
    std::vector<double> scores;
    for (const auto& [block, every_s] : {std::pair(400U, 0.5), std::pair(3001U, 2.0)}) {
        auto live = LiveSending::create();
        const LiveFigures last = heard(*live, scene.samples, block, every_s);
        ASSERT_TRUE(last.grade);
        scores.push_back(last.grade->score.total);
    }
    EXPECT_NEAR(scores[0], scores[1], 0.5);
}

TEST(LiveSending, NothingKeyedIsNoTone) {
    auto live = LiveSending::create();
    const LiveFigures silent = heard(*live, std::vector<float>(160000, 0.0F), 400);
    EXPECT_EQ(silent.pitch_hz, 0.0);
    EXPECT_FALSE(silent.grade);
    EXPECT_TRUE(silent.tones.empty());
    EXPECT_NEAR(silent.heard_s, 20.0, 1e-9);
}

TEST(LiveSending, TwoSendersAndOneOfThemChosen) {
    auto config = scene_config(groups(12, 3), "machine", 15.0, 4);
    synth::StationConfig other;
    other.transmissions = {{1.0, groups(12, 4)}};
    other.offset_hz = 300.0;
    other.level_db = -6.0;
    config.neighbours.push_back(other);
    const auto scene = made(config);
    auto loudest = LiveSending::create();
    const LiveFigures first = heard(*loudest, scene.samples, 400, 5.0);
    EXPECT_EQ(first.tones.size(), 2U);
    EXPECT_NEAR(first.pitch_hz, 700.0, 2.0);
    auto chosen = LiveSending::create({.pitch_hz = 1010.0});
    EXPECT_NEAR(heard(*chosen, scene.samples, 400, 5.0).pitch_hz, 1000.0, 5.0);
    auto none = LiveSending::create({.pitch_hz = 2000.0});
    EXPECT_EQ(heard(*none, scene.samples, 400, 5.0).pitch_hz, 0.0);
}

// Three of some forty seconds are gone: the marks beside the hole count for no length.
TEST(LiveSending, LostAudioSpoilsNoLength) {
    auto scene = made(scene_config(groups(15, 5), "machine", 20.0, 5));
    auto live = LiveSending::create();
    const std::span<float> audio(scene.samples);
    const std::size_t hole = 15 * 8000, end = hole + 3 * 8000;
    live->add(audio.first(hole));
    live->add(std::vector<float>(end - hole, 0.0F), true);
    const LiveFigures last = heard(*live, audio.subspan(end), 400);
    ASSERT_TRUE(last.grade);
    EXPECT_NEAR(last.grade->statistics.character_wpm, 18.0, 0.2);
    EXPECT_LT(last.grade->statistics.of(ElementKind::element_gap).cv(), 0.03);
}

}  // namespace
}  // namespace skedlark::fist
