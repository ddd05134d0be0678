// A text copied by ear against the text that was sent: character by character, and what to take
// next.
//
// Stage:   fist. In: both texts as morse::scoring_symbols() gives them. Out: CopyScore.
// Units:   counts; shares 0 to 1; words a minute by the word PARIS.
// Shape:   any texts of up to kLongestCopy symbols; " " is a gap between words, "_" a place the
//          copyist left open.
// Time:    none; work and memory grow with the product of the lengths.
// Errors:  invalid_value for a text that is empty or too long.
// Threads: pure.
// Source:  Wagner, Fischer, Journal of the ACM 21 (1974) 168-173. Gaps come second: of all ways
//          with the fewest character errors, one with the fewest gap errors.
// Checked: tests/dsp/fist/copy_score_test.cpp
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::fist {

inline constexpr std::size_t kLongestCopy = 5000;  // symbols
// Practice is at its best where about so many are right; a rule of this project, no source.
inline constexpr double kWantedRight = 0.9;

enum class CopyMark { right, wrong, open, missing, extra, gap_right, gap_missing, gap_extra };

struct CopyStep {
    CopyMark mark = CopyMark::right;
    std::string sent;   // "" for an extra one
    std::string typed;  // "" for a missing one
};

struct ConfusionPair {
    std::string sent;
    std::string typed;
    int count = 0;
};

struct CharacterTally {
    double sent = 0.0;
    double wrong = 0.0;  // typed as another, left open or left out
};

struct CopyScore {
    std::vector<CopyStep> steps;  // in order
    int sent = 0;                 // characters, gaps not counted
    int right = 0, wrong = 0, open = 0, missing = 0, extra = 0;
    int gaps_sent = 0, gaps_right = 0, gaps_extra = 0;
    std::vector<ConfusionPair> pairs;                    // most frequent first
    std::map<std::string, CharacterTally> by_character;  // as sent

    // What was put in counts against it: right over sent and put in.
    [[nodiscard]] double right_share() const;
};

[[nodiscard]] Result<CopyScore> copy_score(std::span<const std::string> sent,
                                           std::span<const std::string> typed);

// Fewest insertions, deletions and substitutions that make one of the other; every symbol alike.
[[nodiscard]] int edit_distance(std::span<const std::string> a, std::span<const std::string> b);

// The speed at which about nine in ten should be right, after so many of so many at this one:
// changed by a fifth at most, and by less the fewer characters there were.
[[nodiscard]] double next_speed_wpm(double speed_wpm, int right, int of);

// Groups a minute of this text at this speed, with standard gaps; 0 for an empty text.
[[nodiscard]] double groups_a_minute(std::span<const std::string> text, double speed_wpm);

}  // namespace skedlark::fist
