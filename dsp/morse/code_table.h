// The Morse code: what each character's elements are, and text as symbols.
//
// Stage:   morse. Elements are written '.' and '-'.
// Units:   lengths in dots (units), without a trailing gap.
// Shape:   text is UTF-8.
// Errors:  symbols_from_text() returns invalid_value naming character and place.
// Threads: all functions are pure.
// Source:  ITU-R M.1677-1 (10/2009), Annex 1 part I section 1.1; the letters that procedure signals
//          go by, and AR, BT, KN as second readings of signs, are common practice, no source.
// Checked: tests/dsp/morse/code_table_test.cpp
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::morse {

struct Symbol {
    std::string_view text;      // "A", "5", "?", or the letters of a procedure signal, "AR"
    std::string_view elements;  // ".-"
    bool procedure = false;     // sent as one character, letters run together
};

// All symbols, letters first, then figures, punctuation, procedure signals. Some symbols have the
// same elements ("X" and the multiplication sign, "+" and AR, "=" and BT, "(" and KN): the one that
// counts without context stands first.
[[nodiscard]] std::span<const Symbol> symbols();

// By text ("A", lower case accepted); procedure signals by their letters with procedure = true,
// also by the other letters they go by (CT for KA, SN for VE, VA for SK). Null where there is none.
[[nodiscard]] const Symbol* find_by_text(std::string_view text, bool procedure = false);
// All readings of a run of elements, in the order of symbols(); empty where there is none.
[[nodiscard]] std::vector<const Symbol*> find_by_elements(std::string_view elements);
// The one rule for patterns that are both a sign and a procedure signal: standing alone as a word
// it is the procedure signal, joined to other characters it is the sign. X is always the letter.
// Null: none.
[[nodiscard]] const Symbol* read_elements(std::string_view elements, bool alone);
// Sum of the element lengths and inner gaps in dots: E 1, A 5, 0 19.
[[nodiscard]] int units_of(std::string_view elements);

// Text as an operator writes it to symbols: words split at blanks, procedure signals in brackets
// ("[AR]") or overlined (each letter followed by U+0305). An empty optional is a word gap; none
// stands at either end.
[[nodiscard]] Result<std::vector<std::optional<Symbol>>> symbols_from_text(std::string_view text);

// Text for scoring: one entry a symbol, " " for a word gap, "_" (open mark) kept. Symbols that
// share a pattern count as equal, so each is named by the first with its pattern: "[AR]" gives "+".
[[nodiscard]] Result<std::vector<std::string>> scoring_symbols(std::string_view text);

}  // namespace skedlark::morse
