#include "dsp/copy/text_trellis.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/dsp/copy/plain_sum.h"
#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

using test::PlainSum;

// A short text at 60 wpm (dot 4 frames) between silences.
MarkEvidence short_evidence(double snr_2500hz_db, std::mt19937_64& random) {
    test::Keying keying;
    keying.up(0.04);
    keying.send("AE", 60.0);
    const auto frames = keying.frames(snr_2500hz_db, random);
    MarkEvidence evidence(256);
    evidence.reset();
    for (const auto& frame : frames) {
        evidence.append(frame, test::amplitude_of(snr_2500hz_db));
    }
    return evidence;
}

double value(const TextTrellis& trellis, float sum, std::int64_t t) {
    return std::ldexp(static_cast<double>(sum), kScaleBits * trellis.exponent(t));
}

// Every sum of the search against the plain double sum over all cuts: single precision over 80
// steps, 1e-4. Terms under 1e-24 on the boundary's scale (kNegligible in the source; the best there
// is 2^-16 or more) are left out, so sums under 1e-14 of the best are only held to be small.
class ForwardSums : public ::testing::TestWithParam<double> {};
TEST_P(ForwardSums, EqualThePlainSumOverAllCuts) {
    std::mt19937_64 random(support::test_seed(41));
    const MarkEvidence evidence = short_evidence(GetParam(), random);
    const auto frames = static_cast<int>(evidence.size());
    TextTrellis trellis(CodeTree::standard(), 256);
    trellis.begin(0, {timing_of(even_hand(), 4.0), timing_of(loose_hand(), 5.0)});
    while (trellis.now() < frames) {
        trellis.advance(evidence);
    }
    const PlainSum plain(trellis, evidence, frames);
    int compared = 0;
    for (int t = 1; t <= frames; ++t) {
        double best = std::max(plain.stray_gap(t), plain.stray_mark(t));
        for (int h = 0; h < 2; ++h) {
            best = std::max(best, plain.idle(t, h));
            for (int n = 0; n < trellis.tree().size; ++n) {
                best = std::max({best, plain.mark_end(t, h, n), plain.gap_end(t, h, n)});
            }
        }
        const auto check = [&](float sum, double exact, const char* what) {
            if (exact > 1e-14 * best) {
                ++compared;
                EXPECT_NEAR(value(trellis, sum, t) / exact, 1.0, 1e-4)
                    << what << " at " << t << ", " << exact / best << " of the best";
            } else {
                EXPECT_LT(value(trellis, sum, t), 1.1e-14 * best) << what << " at " << t;
            }
        };
        check(trellis.stray_mark(t), plain.stray_mark(t), "stray mark");
        check(trellis.stray_gap(t), plain.stray_gap(t), "stray gap");
        for (int h = 0; h < 2; ++h) {
            check(trellis.idle(t, h), plain.idle(t, h), "idle");
            check(trellis.character_end(t, h), plain.character_end(t, h), "character end");
            for (int n = 0; n < trellis.tree().size; ++n) {
                if (n > 0) {
                    check(trellis.mark_end(t, h)[n], plain.mark_end(t, h, n), "mark");
                }
                check(trellis.gap_end(t, h)[n], plain.gap_end(t, h, n), "gap");
            }
        }
    }
    EXPECT_GT(compared, 1000);
}
INSTANTIATE_TEST_SUITE_P(Db, ForwardSums, ::testing::Values(-8.0, 0.0, 12.0));

// Minutes of a strong and of no signal: scales must neither overflow nor vanish.
TEST(TextTrellis, StaysInRangeForLong) {
    std::mt19937_64 random(support::test_seed(42));
    test::Keying keying;
    keying.send(test::random_groups(6, random), 40.0);
    keying.up(20.0);
    keying.send(test::random_groups(2, random), 40.0);
    const auto frames = keying.frames(25.0, random);
    MarkEvidence evidence(1024);
    evidence.reset();
    TextTrellis trellis(CodeTree::standard(), 512);
    trellis.begin(0, {timing_of(even_hand(), 6.0)});
    for (const auto& frame : frames) {
        evidence.append(frame, test::amplitude_of(25.0));
        trellis.advance(evidence);
        const std::int64_t t = trellis.now();
        float best = std::max(trellis.idle(t, 0), trellis.stray_mark(t));
        for (int n = 0; n < trellis.tree().size; ++n) {
            best = std::max({best, trellis.mark_end(t, 0)[n], trellis.gap_end(t, 0)[n]});
            ASSERT_TRUE(std::isfinite(trellis.mark_end(t, 0)[n]));
        }
        ASSERT_GT(best, 1e-6F) << t;
        ASSERT_LT(best, 1e6F) << t;
    }
    EXPECT_GT(trellis.oldest(), trellis.now() - 600);
}

TEST(TextTrellis, AdvanceDoesNotAllocate) {
    std::mt19937_64 random(support::test_seed(43));
    test::Keying keying;
    keying.send("QVA7", 40.0);
    const auto frames = keying.frames(0.0, random);
    MarkEvidence evidence(1024);
    evidence.reset();
    for (const auto& frame : frames) {
        evidence.append(frame, test::amplitude_of(0.0));
    }
    TextTrellis trellis(CodeTree::standard(), 512);
    trellis.begin(0, {timing_of(even_hand(), 6.0), timing_of(loose_hand(), 6.0)});
    const support::AllocationCount count;
    while (trellis.now() < evidence.size()) {
        trellis.advance(evidence);
    }
    EXPECT_EQ(count.made(), 0);
}

// The header's promise: 0 for lengths not asked for, also where the ring was used before by a
// slower hand.
TEST(TextTrellis, NothingOfAnEarlierSearchIsLeft) {
    std::mt19937_64 random(support::test_seed(44));
    const auto frames = test::frames_of(std::vector<double>(700, 1.0), random);
    MarkEvidence evidence(1024);
    evidence.reset();
    for (const auto& frame : frames) {
        evidence.append(frame, 1.0);
    }
    TextTrellis used(CodeTree::standard(), 256), fresh(CodeTree::standard(), 256);
    used.begin(0, {timing_of(loose_hand(), 40.0)});
    while (used.now() < 600) {
        used.advance(evidence);
    }
    for (TextTrellis* trellis : {&used, &fresh}) {
        trellis->begin(600, {timing_of(even_hand(), 5.0)});
        while (trellis->now() < 700) {
            trellis->advance(evidence);
        }
    }
    for (std::int64_t t = 601; t <= 700; ++t) {
        for (int length = 1; length <= kLongestMark; ++length) {
            ASSERT_EQ(used.mark_factor(t, length), fresh.mark_factor(t, length))
                << t << " " << length;
        }
        ASSERT_EQ(used.character_end(t, 0), fresh.character_end(t, 0));
        ASSERT_EQ(used.stray_mark(t), fresh.stray_mark(t));
    }
    EXPECT_EQ(used.mark_factor(650, kLongestMark), 0.0F);
    EXPECT_EQ(used.mark_factor(650, kLongestMark + 1), 0.0F);
}

// Odds of which hand goes on add to 1.
TEST(TextTrellis, ChangeOddsAddToOne) {
    TextTrellis trellis(CodeTree::standard(), 64);
    trellis.begin(0, std::vector<Timing>(7, timing_of(even_hand(), 12.0)));
    for (int from = 0; from < 7; ++from) {
        float sum = 0.0F;
        for (int to = 0; to < 7; ++to) {
            sum += trellis.change_odds(from, to);
        }
        EXPECT_NEAR(sum, 1.0F, 1e-6F);
    }
    const TrafficOdds& odds = trellis.odds();
    EXPECT_NEAR(odds.character_gap() + odds.word_gap + odds.pause + odds.enter_stray, 1.0F, 1e-6F);
}

}  // namespace
}  // namespace skedlark::copy
