// The hand behind a row of marks and gaps: its unit, and how long its five lengths are, text unknown.
//
// Stage:   fist. In: Keying. Out: Hand, and for each mark and gap which of its kind it probably was.
// Units:   seconds; spreads are standard deviations of the natural logarithm.
// Shape:   any number of marks; fewer than kFewestMarks tell no hand.
// Time:    none.
// Errors:  find_hand() returns not_found where there are too few marks.
// Threads: pure.
// Source:  mixture of log-normal lengths about the standard (ITU-R M.1677-1: 1, 3 and 1, 3, 7),
//          unit and lag by search over all of them, then expectation-maximisation (Dempster, Laird,
//          Rubin, J. Roy. Stat. Soc. B 39, 1977).
// Checked: tests/dsp/fist/hand_test.cpp
#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/fist/edges.h"
#include "dsp/morse/timing.h"

namespace skedlark::fist {

inline constexpr int kKinds = 5;  // of morse::ElementKind
inline constexpr int kFewestMarks = 8;

[[nodiscard]] constexpr std::size_t index_of(morse::ElementKind kind) {
    return static_cast<std::size_t>(kind);
}
[[nodiscard]] constexpr double standard_units(morse::ElementKind kind) {
    constexpr std::array<double, kKinds> kUnits = {morse::kDotUnits, morse::kDashUnits,
                                                   morse::kElementGapUnits,
                                                   morse::kCharacterGapUnits, morse::kWordGapUnits};
    return kUnits[index_of(kind)];
}

// Log-normal length of one kind.
struct LengthModel {
    double mean_log = 0.0;
    double sd_log = 0.2;
    double share = 0.0;  // of marks, or of gaps
    [[nodiscard]] double log_density(double seconds) const;
};

inline constexpr double kPauseOverWordGap = 3.0;

struct Hand {
    double unit_s = 0.06;
    double stretch = 1.0;  // of the gaps between characters and words, about
    double lag_s = 0.0;    // by which marks are short and gaps are long, all alike; may be negative
    std::array<LengthModel, kKinds> lengths{};

    [[nodiscard]] const LengthModel& of(morse::ElementKind kind) const {
        return lengths[index_of(kind)];
    }
    // Longer gaps are pauses: they belong to no word.
    [[nodiscard]] double pause_s() const {
        return kPauseOverWordGap * morse::kWordGapUnits * unit_s * std::max(1.0, stretch);
    }
};

// speed_wpm, where it is known: the unit lies within a third of it.
[[nodiscard]] Result<Hand> find_hand(const Keying& keying, std::optional<double> speed_wpm = {});

// What a mark or gap probably was, and the odds of what else it may have been.
struct Kinds {
    std::vector<morse::ElementKind> marks;
    std::vector<morse::ElementKind> gaps;  // one fewer than marks; a pause is a word gap
    std::vector<double> gap_odds;          // posterior of that kind, 0 to 1
    std::vector<char> pauses;              // 1: longer than any word gap
};
[[nodiscard]] Kinds probable_kinds(const Keying& keying, const Hand& hand);

}  // namespace skedlark::fist
