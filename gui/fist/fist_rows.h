// A graded sending as rows of words: figures, faults, characters, parts of the score.
//
// Stage:   gui/fist, no Qt. In: Grade, or figures so far. Out: texts, with the place of each fault.
// Units:   milliseconds and dots on the page.
// Shape:   faults of the hand first, then those of key and transmitter, then errors against the text;
//          within these in order of time.
// Errors:  none; what was not measured is "n/a".
// Threads: pure.
// Source:  none
// Checked: tests/desk/fist/fist_rows_test.cpp
#pragma once

#include <string>
#include <vector>

#include "gui/fist/attempt.h"
#include "gui/fist/keying_strip.h"

namespace skedlark::gui {

struct Figure {
    std::string name{};
    std::string value{};
    std::string wanted{};  // "" where nothing is
};
// Score, speed, dot, dash, the three gaps with their spreads, ratio.
[[nodiscard]] std::vector<Figure> figures_of(const fist::Grade& grade);

struct FaultRow {
    std::string time{};
    std::string whose{};  // "hand", "key", "transmitter", "text"
    std::string what{};
    std::string advice{};  // of errors against the text: what stood in the code
    Place place{};
};
[[nodiscard]] std::vector<FaultRow> fault_rows(const fist::Grade& grade);
// "3 of the hand, 1 of key and transmitter, 2 against the text"
[[nodiscard]] std::string fault_count_words(const std::vector<FaultRow>& rows);

struct CharacterRow {
    std::string name{};
    std::string sent{};    // how often
    std::string right{};   // "38 of 40"
    std::string rhythm{};  // mark and (gap) in turn, in dots
    std::string off{};
    std::string sounded_like{};
};
// The hardest first.
[[nodiscard]] std::vector<CharacterRow> character_rows(const Attempt& attempt);

struct ScoreRow {
    std::string part{};
    std::string kept{};
    std::string misread{};
    std::string machine{};
};
[[nodiscard]] std::vector<ScoreRow> score_rows(const fist::Grade& grade);

// Errors, counting by the rules of tests, key against tone: a few sentences under the score.
[[nodiscard]] std::string summary_words(const Attempt& attempt);

// "1:05"
[[nodiscard]] std::string minutes_of(double seconds);

}  // namespace skedlark::gui
