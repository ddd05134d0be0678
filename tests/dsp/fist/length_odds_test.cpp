#include "dsp/fist/length_odds.h"

#include <cmath>

#include "tests/dsp/fist/keyed.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

using morse::ElementKind;

// Two log-normals of equal width s: the log odds at x are (ln x - middle) * distance / s^2, in the
// textbook's closed form of a linear discriminant.
TEST(LengthOdds, IsTheLogLikelihoodRatio) {
    Hand hand;
    hand.unit_s = 0.06;
    for (int k = 0; k < kKinds; ++k) {
        hand.lengths[static_cast<std::size_t>(k)] = {
            std::log(0.06 * standard_units(static_cast<ElementKind>(k))), 0.2, 0.3};
    }
    // One odd mark among many right ones, so that the speed stays.
    Keying keying;
    double now = 0.0;
    for (int i = 0; i < 400; ++i) {
        const double length = i == 200 ? 0.09 : i % 2 == 0 ? 0.06 : 0.18;
        keying.marks.push_back({now, now + length});
        now += length + 0.06;
    }
    const LengthOdds odds = length_odds(keying, hand, probable_kinds(keying, hand));
    const double distance = std::log(3.0);
    const double expected = -(std::log(0.09) - std::log(0.06 * std::sqrt(3.0))) * distance / 0.04;
    EXPECT_NEAR(odds.marks[200].dash - odds.marks[200].dot, expected, 0.2);
    EXPECT_EQ(odds.marks[0].dot, 0.0);
    EXPECT_FALSE(odds.marks[0].sounds_dash());
    EXPECT_EQ(odds.gaps[3].likeliest(), ElementKind::element_gap);
}

TEST(LengthOdds, WanderIsTakenOut) {
    // Speed swings by 15 % to each side over 20 s.
    auto marks = marks_of("PARIS PARIS PARIS PARIS PARIS PARIS PARIS PARIS PARIS PARIS PARIS PARIS",
                          "machine", 16.0);
    double now = 0.0;
    double before = 0.0;
    std::vector<double> true_slow;
    for (auto& mark : marks) {
        const double slow = 0.15 * std::sin(2.0 * M_PI * now / 20.0);
        true_slow.push_back(slow);
        const double length = (mark.off_s - mark.on_s) * std::exp(slow);
        now += (mark.on_s - before) * std::exp(slow);
        before = mark.off_s;
        mark = {now, now + length, mark.dash};
        now += length;
    }
    const Keying keying = keying_of(marks);
    const auto hand = find_hand(keying);
    ASSERT_TRUE(hand);
    const auto slow = local_slowness(keying, *hand, probable_kinds(keying, *hand));
    double off = 0.0, all = 0.0;
    for (std::size_t i = 0; i < slow.size(); ++i) {
        off += (slow[i] - true_slow[i]) * (slow[i] - true_slow[i]);
        all += true_slow[i] * true_slow[i];
    }
    EXPECT_LT(off, 0.4 * all);
}

TEST(LengthOdds, BesideLostAudioNothingIsSaid) {
    Keying keying = keying_of(marks_of("PARIS PARIS", "machine"));
    keying.marks[5].beside_lost = true;
    const auto hand = find_hand(keying);
    ASSERT_TRUE(hand);
    const LengthOdds odds = length_odds(keying, *hand, probable_kinds(keying, *hand));
    EXPECT_EQ(odds.marks[5].dot, odds.marks[5].dash);
    EXPECT_EQ(odds.gaps[5].element, odds.gaps[5].word);
    EXPECT_TRUE(length_odds({}, *hand, {}).marks.empty());
}

}  // namespace
}  // namespace skedlark::fist
