#include "dsp/fist/alignment.h"

#include "tests/dsp/fist/keyed.h"
#include "tests/dsp/fist/scenes.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

TEST(Alignment, NothingWrong) {
    for (const auto& named : synth::named_fists()) {
        const Alignment a = aligned("QVA7 DE QXB2 [BT] ALL WELL [AR]",
                                    "qva7 de qxb2 [BT] all well [AR]", std::string(named.name));
        EXPECT_TRUE(a.all_right() || named.name == "poor") << named.name;
        EXPECT_EQ(a.meant, 19U);
        EXPECT_EQ(a.reached, 19U);
    }
}

// Wagner and Fischer, J. ACM 21 (1974); the pairs and their distances are the usual textbook ones:
// kitten/sitting 3 and Saturday/Sunday 3.
TEST(Alignment, AsManyErrorsAsTheEditDistance) {
    for (const auto& [meant, sent] : {std::pair("KITTEN", "SITTING"), {"SATURDAY", "SUNDAY"}}) {
        std::size_t edits = 0;
        for (const TextError& error : left(aligned(sent, meant))) {
            edits += std::max(error.meant.size(), std::min<std::size_t>(1, error.sent.size()));
        }
        EXPECT_EQ(edits, 3U) << meant;
    }
}

TEST(Alignment, TheSenderCorrects) {
    for (const char* hand : {"machine", "steady", "ordinary", "semi-automatic"}) {
        const Alignment a = aligned("QVA7 DE QXB2 ALL WALL [HH] WELL HERE TODAY",
                                    "QVA7 DE QXB2 ALL WELL HERE TODAY", hand, 4);
        EXPECT_EQ(a.corrections, 1) << hand;
        EXPECT_TRUE(a.all_right()) << hand;
        EXPECT_EQ(a.right, a.meant) << hand;
        EXPECT_EQ(a.errors.size(), 1U) << hand;
    }
    // In the middle of a word, and two words back.
    const Alignment begun =
        aligned("QVA7 DE QXB2 ALL WO[HH] WELL HERE", "QVA7 DE QXB2 ALL WELL HERE");
    EXPECT_EQ(begun.corrections, 1);
    EXPECT_TRUE(begun.all_right());
    const Alignment back =
        aligned("QVA7 DE QXB2 ALL VERY WELL [HH] ALL WELL HERE", "QVA7 DE QXB2 ALL WELL HERE");
    EXPECT_EQ(back.corrections, 1);
    EXPECT_TRUE(back.all_right());
}

TEST(Alignment, TheSenderRepeatsBeginsLateOrStops) {
    const Alignment twice =
        aligned("QVA7 DE QXB2 ALL WELL ALL WELL HERE", "QVA7 DE QXB2 ALL WELL HERE");
    EXPECT_TRUE(twice.all_right());
    EXPECT_EQ(twice.repeats, 1);
    const Alignment stops = aligned("QVA7 DE QXB2 ALL", "QVA7 DE QXB2 ALL WELL HERE TODAY");
    EXPECT_FALSE(stops.all_right());
    EXPECT_TRUE(stops.stopped_early());
    EXPECT_EQ(stops.reached, 13U);
    ASSERT_EQ(stops.errors.size(), 1U);
    EXPECT_EQ(stops.errors[0].meant, "WELL HERE TODAY");
    const Alignment late = aligned("RAIN ON THE PASS ALL WELL HERE",
                                   "SNOW AT NOON AND FOG THEN RAIN ON THE PASS ALL WELL HERE");
    ASSERT_EQ(late.errors.size(), 1U);
    EXPECT_EQ(late.errors[0].kind, FaultOfText::missing);
    EXPECT_EQ(late.errors[0].meant, "SNOW AT NOON AND FOG THEN");
}

// Through audio at 10 dB: faults put into groups by another sender than the text's.
TEST(Alignment, ThroughNoise) {
    const std::uint64_t seed = support::test_seed(1060);
    const auto scene =
        made(scene_config("QVAZX KRTOP MMWEL SSUTX PLQWA BNTRE", "ordinary", 10.0, seed));
    const Alignment a = aligned(measured(scene), "QVAZX KRNOP MMWELA SSUTX PLWA BNTRE");
    std::string kinds;
    for (const TextError& error : left(a)) kinds += std::string(name_of(error.kind)) + " ";
    EXPECT_EQ(kinds, "wrong missing extra ");
}

TEST(Alignment, NoTextAndNoMarks) {
    const Keying keying = keying_of(marks_of("PARIS", "machine"));
    const auto hand = find_hand(keying);
    ASSERT_TRUE(hand);
    EXPECT_FALSE(align(keying, *hand, {}));
    EXPECT_FALSE(align({}, *hand, *morse::symbols_from_text("A")));
    // Nothing alike: it says so, and ends.
    const Alignment other = aligned("TTTTT TTTTT TTTTT", "EEEEE");
    EXPECT_FALSE(other.all_right());
}

}  // namespace
}  // namespace skedlark::fist
