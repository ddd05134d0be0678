#include "dsp/fist/sending.h"

#include "tests/dsp/fist/scenes.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

Sending sent(const std::string& text, const std::string& hand, double snr_db, std::uint64_t seed) {
    const Keying keying = measured(made(scene_config(text, hand, snr_db, seed)));
    const auto found = find_hand(keying);
    EXPECT_TRUE(found);
    return read_sending(keying, probable_kinds(keying, *found));
}

TEST(Sending, ReadsMachineKeying) {
    const std::string text = "QVA7 DE QXB2 = ALL WELL, 3 MESSAGES [AR]";
    const Sending out = sent(text, "machine", 15.0, support::test_seed(1030));
    // "=" alone in a word is the procedure signal of the same elements.
    EXPECT_EQ(text_of(out), "QVA7 DE QXB2 [BT] ALL WELL, 3 MESSAGES [AR]");
    for (const char counts : out.mark_counts) EXPECT_EQ(counts, 1);
}

TEST(Sending, UnknownElementsReadOpen) {
    Keying keying;
    double now = 1.0;
    Kinds kinds;
    for (int i = 0; i < 9; ++i) {
        keying.marks.push_back({now, now + 0.06});
        now += 0.12;
        kinds.marks.push_back(morse::ElementKind::dot);
        if (i < 8) {
            kinds.gaps.push_back(morse::ElementKind::element_gap);
            kinds.gap_odds.push_back(1.0);
            kinds.pauses.push_back(0);
        }
    }
    const Sending out = read_sending(keying, kinds);
    ASSERT_EQ(out.characters.size(), 1U);
    EXPECT_EQ(out.characters[0].text, "_");
    EXPECT_EQ(out.characters[0].marks, 9U);
}

TEST(Sending, NothingSent) {
    const Sending out = read_sending({}, {});
    EXPECT_TRUE(out.characters.empty());
    EXPECT_EQ(text_of(out), "");
}

}  // namespace
}  // namespace skedlark::fist
