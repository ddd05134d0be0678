// The likeliest way in which a row of measured marks is a sending of a given text.
//
// Stage:   fist. In: LengthOdds, the text meant. Out: Step list, each a character sent, left out, put
//          in, or a jump of the sender.
// Units:   costs in nepers.
// Shape:   any text, any number of marks; from each mark the search looks kWindow characters of the
//          text to either side of the best way so far.
// Time:    about 0.1 s for ten minutes of keying.
// Errors:  none.
// Threads: pure.
// Source:  dynamic programming over text and marks (Wagner and Fischer, J. ACM 21, 1974), the
//          elements of a character inside it the same way; runs of left-out and put-in characters
//          cost less than as many single ones (Gotoh, J. Mol. Biol. 162, 1982, from memory).
// Checked: tests/dsp/fist/text_search_test.cpp, against the edit distance of published word pairs
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/fist/character_search.h"
#include "dsp/fist/length_odds.h"
#include "dsp/morse/code_table.h"

namespace skedlark::fist {

inline constexpr std::size_t kWindow = 300;

// The text as the search wants it.
struct MeantCharacter {
    morse::Symbol symbol;
    bool word_begins = false;
};
[[nodiscard]] std::vector<MeantCharacter> meant_characters(
    std::span<const std::optional<morse::Symbol>> text);

struct Step {
    enum class Kind { sent, wrong, missing, extra, error_signal, jump };
    Kind kind = Kind::sent;
    std::size_t meant = 0;  // place in the text: of the character, or that the jump goes to
    std::size_t from = 0;   // jump: the place it leaves
    std::size_t first_mark = 0;
    std::size_t marks = 0;
    // The gap before: what it was to be and what it sounds like (none before the first mark).
    morse::ElementKind gap_meant = morse::ElementKind::character_gap;
    morse::ElementKind gap_sounds = morse::ElementKind::character_gap;
    std::vector<ElementStep> elements;  // of sent
};

struct FoundWay {
    std::vector<Step> steps;
    std::size_t reached = 0;  // characters of the text that the marks got to
    double cost = 0.0;
};

[[nodiscard]] FoundWay search_text(const LengthOdds& odds, std::span<const MeantCharacter> text);

}  // namespace skedlark::fist
