#include "dsp/fist/alignment.h"

#include "tests/dsp/fist/keyed.h"
#include "tests/dsp/fist/scenes.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

std::vector<TextError> left(const Alignment& alignment) {
    std::vector<TextError> out = alignment.errors;
    std::erase_if(out, [](const TextError& error) { return error.corrected; });
    return out;
}

TEST(Alignment, NothingWrong) {
    for (const auto& named : synth::named_fists()) {
        const Alignment a = aligned("QVA7 DE QXB2 [BT] ALL WELL [AR]",
                                    "qva7 de qxb2 [BT] all well [AR]", std::string(named.name));
        EXPECT_TRUE(a.all_right() || named.name == "poor") << named.name;
        EXPECT_EQ(a.meant, 19U);
        EXPECT_EQ(a.reached, 19U);
    }
}

TEST(Alignment, EachKindOfErrorIsNamedAndPlaced) {
    struct Case {
        const char* sent;
        FaultOfText kind;
        const char* meant;
        const char* sounded;
        std::size_t at;
    };
    // Meant: PARIS CODEX QVA.
    for (const Case& one : {Case{"PARIS CODYX QVA", FaultOfText::wrong, "E", "Y", 8},
                            Case{"PAIS CODEX QVA", FaultOfText::missing, "R", "", 2},
                            Case{"PARIS CODEX", FaultOfText::missing, "QVA", "", 10},
                            Case{"PARIS CZODEX QVA", FaultOfText::extra, "", "Z", 6},
                            Case{"PARIH CODEX QVA", FaultOfText::wrong, "S", "H", 4},
                            Case{"PARIS CODEX QIA", FaultOfText::wrong, "V", "I", 11},
                            Case{"PARIS CODEX QVEM", FaultOfText::split, "A", "", 12}}) {
        const auto errors = left(aligned(one.sent, "PARIS CODEX QVA"));
        if (one.kind == FaultOfText::split) continue;  // below, with its own gap
        ASSERT_EQ(errors.size(), 1U) << one.sent;
        EXPECT_EQ(errors[0].kind, one.kind) << one.sent;
        EXPECT_EQ(errors[0].meant, one.meant) << one.sent;
        EXPECT_EQ(errors[0].sent, one.sounded) << one.sent;
        EXPECT_EQ(errors[0].meant_at, one.at) << one.sent;
    }
    const auto split = left(aligned("PARIS CODEX QVET", "PARIS CODEX QVA"));
    ASSERT_EQ(split.size(), 1U);
    EXPECT_EQ(split[0].kind, FaultOfText::split);
    EXPECT_EQ(split[0].meant, "A");
    EXPECT_EQ(split[0].sent, "E T");
    const auto run = left(aligned("PARIS CODEX QVP", "PARIS CODEX QVAN"));
    ASSERT_EQ(run.size(), 1U);
    EXPECT_EQ(run[0].kind, FaultOfText::run_together);
    EXPECT_EQ(run[0].meant, "AN");
    EXPECT_EQ(run[0].sent, "P");
}

TEST(Alignment, ElementsThatWentWrongAreCounted) {
    const auto more = left(aligned("PARIS COBEX QVA", "PARIS CODEX QVA"));  // D as B: a dot more
    ASSERT_EQ(more.size(), 1U);
    EXPECT_EQ(more[0].put_in, 1);
    const auto fewer = left(aligned("PARIS CODEX QUA", "PARIS CODEX QVA"));  // V as U
    ASSERT_EQ(fewer.size(), 1U);
    EXPECT_EQ(fewer[0].dots_dropped, 1);
    EXPECT_EQ(fewer[0].dots_lost, 0);
    // The same dot keyed, but not sent: its place is held.
    auto marks = marks_of("PARIS CODEX QVA", "machine");
    const double at_s = marks[marks.size() - 5].on_s;
    marks.erase(marks.end() - 5);
    const auto lost = left(aligned(keying_of(marks), "PARIS CODEX QVA"));
    ASSERT_EQ(lost.size(), 1U);
    EXPECT_EQ(lost[0].meant, "V");
    EXPECT_EQ(lost[0].dots_lost, 1);
    EXPECT_NEAR(lost[0].at_s, at_s, 0.5);
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
