// A score from 0 to 100: of a hundred characters, how many a listener reads right who would read all
// of machine sending right.
//
// Stage:   fist. In: the lengths by kind, the share of characters that can be read. Out: Score.
// Units:   chances 0 to 1; spreads are standard deviations of the natural logarithm.
// Shape:   a kind that was not measured counts as sent by a machine.
// Time:    none.
// Errors:  none.
// Threads: pure.
// Source:  overlap of two Gaussians in the logarithm of length, one boundary between their means
//          where the densities are equal (Duda, Hart, Stork, Pattern Classification, ch. 2, from
//          memory); the standard of comparison is ITU-R M.1677-1. docs/how-grading-works.md.
// Checked: tests/dsp/fist/score_test.cpp, against GSL
#pragma once

#include <array>
#include <string>
#include <vector>

#include "dsp/fist/sending.h"

namespace skedlark::fist {

// How far a listener through noise misjudges a length, beside what the hand spreads: this project's
// own choice. By ear alone lengths are told apart to about a tenth (common practice, no source).
inline constexpr double kListenerSd = 0.15;
// Marks of the mean letter: the 26 letters have 82.
inline constexpr double kMarksOfALetter = 82.0 / 26.0;

// Chance that a length of one kind is taken for the other, both equally likely; short_one has the
// smaller mean. One half where the means have changed places.
[[nodiscard]] double misread_chance(const LengthModel& short_one, const LengthModel& long_one,
                                    double listener_sd = kListenerSd);

using LengthModels = std::array<LengthModel, kKinds>;
[[nodiscard]] LengthModels machine_models(double unit_s);
// By the kinds that are told; the error of measuring is taken out of the spread. A kind with fewer
// than three lengths has share 0: not measured.
[[nodiscard]] LengthModels measured_models(const Keying& keying, const Sending& sending);
// The same without the text: each length counts for a kind by its odds.
[[nodiscard]] LengthModels measured_models(const Keying& keying, const Hand& hand);

struct ScorePart {
    std::string name;        // "dots and dashes"
    double misread = 0.0;    // chance a decision, of this hand
    double machine = 0.0;    // the same of machine sending
    double decisions = 1.0;  // in a character
    double kept = 1.0;       // share of characters that this leaves right, machine sending 1
};

struct Score {
    double total = 0.0;
    std::vector<ScorePart> parts;
};

// readable: share of characters that are right, or where no text is known, are in the code.
[[nodiscard]] Score score_of(const LengthModels& models, double readable);

}  // namespace skedlark::fist
