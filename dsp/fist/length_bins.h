// How often each length was sent, for a picture of it beside the standard's lengths.
//
// Stage:   fist. In: Keying, Sending, the hand's unit. Out: LengthBins of marks, of gaps.
// Units:   dots (units) of this hand.
// Shape:   bins of equal width from 0; what is longer counts in `beyond`. Lengths beside missing audio
//          and pauses are left out.
// Errors:  none.
// Threads: pure.
// Source:  standard lengths: ITU-R M.1677-1 (1 and 3; 1, 3 and 7), dsp/morse/timing.h.
// Checked: tests/dsp/fist/length_bins_test.cpp
#pragma once

#include <vector>

#include "dsp/fist/sending.h"

namespace skedlark::fist {

inline constexpr double kBinUnits = 0.2;
inline constexpr double kLongestMarkUnits = 6.0;
inline constexpr double kLongestGapUnits = 12.0;

struct LengthBins {
    std::vector<int> counts;  // bin n from n * kBinUnits on
    int beyond = 0;
    [[nodiscard]] int most() const;
    [[nodiscard]] int total() const;
};

[[nodiscard]] LengthBins mark_bins(const Keying& keying, double unit_s);
[[nodiscard]] LengthBins gap_bins(const Keying& keying, const Sending& sending, double unit_s);

}  // namespace skedlark::fist
