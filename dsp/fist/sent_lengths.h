// The lengths of a sending one by one, and how often each occurs: what pictures of a hand are made of.
//
// Stage:   fist. In: Keying and Sending. Out: SentLength, in order of time; LengthHistogram.
// Units:   seconds from the audio's start; histograms in dots of this hand.
// Shape:   a pause is told from a word gap; lengths beside lost audio are left out.
// Time:    a length begins at its mark's, or at the end of the mark before.
// Errors:  none.
// Threads: pure.
// Source:  the standard's marks are standard_units() of hand.h, ITU-R M.1677-1: 1, 3 and 1, 3, 7.
// Checked: tests/dsp/fist/sent_lengths_test.cpp
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "dsp/fist/sending.h"

namespace skedlark::fist {

enum class LengthKind { dot, dash, element_gap, character_gap, word_gap, pause };
// "dot", "element_gap", "pause"
[[nodiscard]] std::string_view name_of(LengthKind kind);
[[nodiscard]] std::optional<LengthKind> length_kind_by_name(std::string_view name);

struct SentLength {
    LengthKind kind = LengthKind::dot;
    double at_s = 0.0;
    double length_s = 0.0;
};
[[nodiscard]] std::vector<SentLength> sent_lengths(const Keying& keying, const Sending& sending);

inline constexpr double kHistogramBinUnits = 0.1;
inline constexpr double kMostHistogramUnits = 20.0;  // longer ones count in the last bin

struct LengthHistogram {
    double bin_units = kHistogramBinUnits;
    std::vector<int> counts;  // bin i holds lengths from i to i + 1 bins
    [[nodiscard]] double from_units(std::size_t bin) const {
        return static_cast<double>(bin) * bin_units;
    }
};
// Of one kind; without bins beyond the longest. unit_s above 0.
[[nodiscard]] LengthHistogram histogram_of(std::span<const SentLength> lengths, LengthKind kind,
                                           double unit_s);

}  // namespace skedlark::fist
