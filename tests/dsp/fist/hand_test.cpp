#include "dsp/fist/hand.h"

#include "tests/dsp/fist/keyed.h"
#include "tests/dsp/fist/scenes.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

using morse::ElementKind;

synth::Keyed keyed(const std::string& text, const std::string& hand, double speed_wpm,
                   std::uint64_t seed, double overall_wpm = 0.0) {
    synth::Keyer keyer({speed_wpm, overall_wpm, *synth::fist_by_name(hand)}, seed);
    synth::Keyed out;
    EXPECT_TRUE(keyer.send(text, 1.0, out));
    return out;
}

double share_right(const synth::Keyed& truth, const Kinds& kinds) {
    std::size_t right = 0;
    for (std::size_t i = 0; i < truth.marks.size(); ++i) {
        right += (kinds.marks[i] == ElementKind::dash) == truth.marks[i].dash ? 1 : 0;
    }
    return static_cast<double>(right) / static_cast<double>(truth.marks.size());
}

// Machine keying: dot 1.2 / speed (word PARIS), all lengths of ITU-R M.1677-1.
TEST(Hand, MachineAtAllSpeeds) {
    for (const double speed : {4.0, 13.0, 20.0, 60.0}) {
        const auto truth = keyed("PARIS CODEX QVA7 DE QXB2", "machine", speed, 1);
        const auto hand = find_hand(keying_of(truth.marks));
        ASSERT_TRUE(hand);
        EXPECT_NEAR(std::exp(hand->of(ElementKind::dot).mean_log), 1.2 / speed, 0.02 * 1.2 / speed);
        EXPECT_NEAR(std::exp(hand->of(ElementKind::dash).mean_log), 3.6 / speed,
                    0.06 * 1.2 / speed);
        EXPECT_DOUBLE_EQ(share_right(truth, probable_kinds(keying_of(truth.marks), *hand)), 1.0);
    }
}

TEST(Hand, EveryHandIsRead) {
    const std::uint64_t seed = support::test_seed(1020);
    for (const auto& named : synth::named_fists()) {
        for (std::uint64_t n = 0; n < 3; ++n) {
            const auto truth = keyed(groups(20, seed + n), std::string(named.name), 16.0, seed + n);
            const auto hand = find_hand(keying_of(truth.marks));
            ASSERT_TRUE(hand);
            const double right = share_right(truth, probable_kinds(keying_of(truth.marks), *hand));
            EXPECT_GE(right, named.name == "poor" ? 0.95 : 0.985) << named.name;
        }
    }
}

// Stretched spacing leaves the characters' speed alone (Bloom, QEX April 1990: 18/5 has a dot of
// 66.67 ms).
TEST(Hand, StretchedSpacing) {
    const auto truth = keyed(groups(10, 5), "machine", 18.0, 1, 5.0);
    const auto hand = find_hand(keying_of(truth.marks));
    ASSERT_TRUE(hand);
    EXPECT_NEAR(std::exp(hand->of(ElementKind::dot).mean_log), 0.06667, 0.001);
}

// Marks short and gaps long by half a dot, all alike: the unit stays what dot and gap are together.
TEST(Hand, ShortMarksAreNoFasterHand) {
    auto truth = keyed(groups(20, 6), "steady", 18.0, 7);
    for (synth::Mark& mark : truth.marks) mark.on_s += 0.5 * 0.06667;
    const auto hand = find_hand(keying_of(truth.marks));
    ASSERT_TRUE(hand);
    EXPECT_NEAR(hand->unit_s, 0.06667, 0.007);
    EXPECT_NEAR(hand->lag_s / 0.06667, 0.5, 0.15);
    EXPECT_GE(share_right(truth, probable_kinds(keying_of(truth.marks), *hand)), 0.99);
}

// A row of dots alone is as well a row of dashes at a third of the speed, but for what is known.
TEST(Hand, AKnownSpeedIsKept) {
    const auto truth = keyed("SSSS HHHH 5555", "machine", 30.0, 1);
    for (const double told : {25.0, 30.0, 36.0}) {
        const auto hand = find_hand(keying_of(truth.marks), told);
        ASSERT_TRUE(hand);
        EXPECT_GE(hand->unit_s, 1.2 / told / 1.34);
        EXPECT_LE(hand->unit_s, 1.2 / told * 1.34);
    }
}

TEST(Hand, TooFewMarks) {
    const auto truth = keyed("EE", "machine", 20.0, 1);
    const auto hand = find_hand(keying_of(truth.marks));
    ASSERT_FALSE(hand);
    EXPECT_NE(hand.error().message.find("2 marks"), std::string::npos);
    EXPECT_FALSE(find_hand({}));
}

}  // namespace
}  // namespace skedlark::fist
