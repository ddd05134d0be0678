#include "dsp/fist/length_bins.h"

#include "tests/dsp/fist/keyed.h"

namespace skedlark::fist {
namespace {

std::size_t bin_of(double units) { return static_cast<std::size_t>(units / kBinUnits); }

// PARIS by hand (ITU-R M.1677-1): 10 dots and 4 dashes, 9 gaps within, 4 between characters; four
// words have three gaps between them. A length may fall on the edge of its bin.
TEST(LengthBins, MachineSendingFillsTheStandardsLengths) {
    const Keying keying = keying_of(marks_of("PARIS PARIS PARIS PARIS", "machine", 20.0));
    const Sending sending = read_sending(keying, probable_kinds(keying, *find_hand(keying)));
    const double unit_s = 0.06 * 0.999;  // so that 1.0 lies within a bin, not on its edge
    const LengthBins marks = mark_bins(keying, unit_s);
    EXPECT_EQ(marks.counts[bin_of(1.001)], 40);
    EXPECT_EQ(marks.counts[bin_of(3.003)], 16);
    EXPECT_EQ(marks.total(), 56);
    EXPECT_EQ(marks.most(), 40);
    const LengthBins gaps = gap_bins(keying, sending, unit_s);
    EXPECT_EQ(gaps.counts[bin_of(1.001)], 36);
    EXPECT_EQ(gaps.counts[bin_of(3.003)], 16);
    EXPECT_EQ(gaps.counts[bin_of(7.007)], 3);
    EXPECT_EQ(gaps.total(), 55);
}

TEST(LengthBins, WhatIsTooLongOrLostIsNotMixedIn) {
    Keying keying;
    keying.marks = {{0.0, 0.06}, {0.12, 0.72}, {30.0, 30.06}, {30.12, 30.18}};
    keying.marks[3].beside_lost = true;
    Sending sending;
    sending.kinds.pauses = {0, 1, 0};
    const LengthBins marks = mark_bins(keying, 0.06);
    EXPECT_EQ(marks.beyond, 1);
    EXPECT_EQ(marks.total(), 3);
    EXPECT_EQ(gap_bins(keying, sending, 0.06).total(), 1) << "a pause and a lost gap left out";
    EXPECT_EQ(mark_bins({}, 0.06).total(), 0);
    EXPECT_EQ(mark_bins(keying, std::nan("")).total(), 0);
}

}  // namespace
}  // namespace skedlark::fist
