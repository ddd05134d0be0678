// Graded by the marks of the key against graded by the sound of the same marks.
#include "dsp/fist/grading.h"
#include "dsp/fist/key_line.h"
#include "tests/dsp/fist/scenes.h"

namespace skedlark::fist {
namespace {

const std::string kText = "QVA7 DE QXB2 [BT] ALL WELL AT THE HUT SNOW ON THE PASS [AR]";

std::vector<KeyMark> key_of(const std::vector<synth::Mark>& marks) {
    std::vector<KeyMark> out;
    for (const synth::Mark& mark : marks) out.push_back({mark.on_s, mark.off_s});
    return out;
}

GradeOptions with_text() {
    GradeOptions options;
    options.text = *morse::symbols_from_text(kText);
    return options;
}

// ITU-R M.1677-1: dash 3, gaps 1, 3, 7, written out here by hand for PARIS.
TEST(GradingOfKeys, TheStandardItselfScoresFullMarks) {
    const char* elements[] = {".--.", ".-", ".-.", "..", "..."};
    constexpr double kUnitS = 0.1;
    std::vector<KeyMark> marks;
    double at_s = 0.0;
    for (int word = 0; word < 6; ++word) {
        for (const char* character : elements) {
            for (const char* e = character; *e != '\0'; ++e) {
                const double units = *e == '-' ? 3.0 : 1.0;
                marks.push_back({at_s, at_s + units * kUnitS});
                at_s += (units + 1.0) * kUnitS;
            }
            at_s += 2.0 * kUnitS;
        }
        at_s += 4.0 * kUnitS;
    }
    EXPECT_NEAR(at_s, 6 * 50 * kUnitS, 1e-9);  // PARIS is 50 units
    GradeOptions options;
    options.text = *morse::symbols_from_text("PARIS PARIS PARIS PARIS PARIS PARIS");
    const auto g = grade_key(keying_of(marks, 0.0), options);
    ASSERT_TRUE(g) << g.error().message;
    EXPECT_GT(g->score.total, 99.9);
    EXPECT_TRUE(g->right());
    EXPECT_TRUE(g->faults.empty());
    EXPECT_EQ(g->text(), "PARIS PARIS PARIS PARIS PARIS PARIS");
    // 12 units of 0.1 s make a word a minute by PARIS: 1.2 / 0.1.
    EXPECT_NEAR(g->statistics.character_wpm, 12.0, 0.01);
    EXPECT_TRUE(std::isnan(g->pitch_hz));
}

TEST(GradingOfKeys, GradesAsTheSoundOfTheSameMarksDoes) {
    for (const char* hand : {"machine", "steady", "ordinary", "swinging", "poor"}) {
        for (std::uint64_t seed = 1; seed <= 3; ++seed) {
            const auto scene = made(scene_config(kText, hand, 25.0, seed));
            const auto by_sound = grade(scene.samples, with_text());
            const auto by_key = grade_key(
                keying_of(key_of(scene.truth.wanted.key_marks), kKeyboardEdgeSdS), with_text());
            ASSERT_TRUE(by_sound) << by_sound.error().message;
            ASSERT_TRUE(by_key) << by_key.error().message;
            EXPECT_EQ(by_key->alignment->right, by_sound->alignment->right) << hand << seed;
            // The two differ by the error of measuring an edge, 0.1 ms of 60 here, and by the 2 ms the
            // key's edges are taken to be unsure by, which are taken out of the spreads.
            EXPECT_NEAR(by_key->score.total, by_sound->score.total, 1.0) << hand << seed;
            EXPECT_NEAR(by_key->statistics.character_wpm, by_sound->statistics.character_wpm, 0.1)
                << hand << seed;
        }
    }
}

TEST(GradingOfKeys, ATransmitterIsNotBlamedWhereThereIsNone) {
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
        const auto scene = made(scene_config(kText, "poor", 25.0, seed));
        const auto g = grade_key(keying_of(key_of(scene.truth.wanted.key_marks), kKeyboardEdgeSdS),
                                 with_text());
        ASSERT_TRUE(g);
        for (const Fault& fault : g->faults) {
            EXPECT_NE(fault.kind, FaultKind::dots_clipped) << fault.said;
            EXPECT_NE(fault.kind, FaultKind::first_late) << fault.said;
        }
    }
}

TEST(GradingOfKeys, ABouncingContactIsOneMarkAndNonsenseIsLeftOut) {
    const std::vector<KeyMark> marks = {{0.0, 0.02},  {0.025, 0.1},  // bounces
                                        {0.05, 0.2},  // begins before the one before has ended
                                        {0.3, 0.3},   {0.4, 0.35},  // no length
                                        {0.5, 0.502},               // a click
                                        {0.6, 0.9},   {std::nan(""), 1.0}};
    const Keying keying = keying_of(marks, 0.001);
    ASSERT_EQ(keying.marks.size(), 2U);
    EXPECT_NEAR(keying.marks[0].length_s(), 0.1, 1e-12);
    EXPECT_EQ(keying.marks[0].breaks, 1);
    EXPECT_NEAR(keying.marks[0].first_break_s, 0.02, 1e-12);
    EXPECT_NEAR(keying.marks[1].length_s(), 0.3, 1e-12);
    EXPECT_FALSE(grade_key(keying, {}).ok());  // too few to tell a hand, and said so
    EXPECT_FALSE(grade_key({}, {}).ok());
}

TEST(GradingOfKeys, AKeyThatBouncesOftenIsNamed) {
    const auto scene = made(scene_config(kText, "steady", 25.0, 1));
    std::vector<KeyMark> marks;
    for (const synth::Mark& mark : scene.truth.wanted.key_marks) {
        if (marks.size() % 5 == 0) marks.push_back({mark.on_s, mark.on_s + 0.010});
        marks.push_back({mark.on_s + (marks.size() % 5 == 1 ? 0.015 : 0.0), mark.off_s});
    }
    const auto g = grade_key(keying_of(marks, kKeyboardEdgeSdS), with_text());
    ASSERT_TRUE(g);
    EXPECT_TRUE(g->right());
    ASSERT_FALSE(g->faults.empty());
    EXPECT_EQ(g->faults.front().kind, FaultKind::contact_bounce);
}

}  // namespace
}  // namespace skedlark::fist
