// What each mark and gap costs as each of its kinds, the wander of the hand's speed taken out.
//
// Stage:   fist. In: Keying, Hand. Out: LengthOdds, the ground of the search against a text.
// Units:   costs are log odds in nepers against the likeliest kind: 0 for that one.
// Shape:   one set a mark, one a gap (one fewer).
// Time:    none.
// Errors:  none.
// Threads: pure.
// Source:  likelihood ratio of two log-normal lengths; the speed by a Gaussian-weighted mean of
//          what is left of the logarithms (kernel smoothing, Nadaraya 1964, from memory).
// Checked: tests/dsp/fist/length_odds_test.cpp
#pragma once

#include <array>
#include <vector>

#include "dsp/fist/hand.h"

namespace skedlark::fist {

inline constexpr double kMostCost = 25.0;  // no length is stranger than that

struct MarkCost {
    double dot = 0.0;
    double dash = 0.0;
    [[nodiscard]] double of(bool is_dash) const { return is_dash ? dash : dot; }
    [[nodiscard]] bool sounds_dash() const { return dash < dot; }
};

struct GapCost {
    double element = 0.0;
    double character = 0.0;
    double word = 0.0;
    // A dot or a dash that never went out leaves this gap: two element gaps and the mark.
    double lost_dot = 0.0;
    double lost_dash = 0.0;
    [[nodiscard]] morse::ElementKind likeliest() const {
        if (element <= character && element <= word) return morse::ElementKind::element_gap;
        return character <= word ? morse::ElementKind::character_gap : morse::ElementKind::word_gap;
    }
};

struct LengthOdds {
    std::vector<MarkCost> marks;
    std::vector<GapCost> gaps;
    std::vector<double> slowness;  // logarithm, a mark: by how much all is longer than usual here
    std::vector<char> pauses;      // 1: this gap is longer than any word gap
};

// kinds: what the lengths are taken for while the speed is worked out.
[[nodiscard]] std::vector<double> local_slowness(const Keying& keying, const Hand& hand,
                                                 const Kinds& kinds);
[[nodiscard]] LengthOdds length_odds(const Keying& keying, const Hand& hand, const Kinds& kinds);

}  // namespace skedlark::fist
