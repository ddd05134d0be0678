// The Morse code: what each character's elements are.
//
// Stage:   morse. Elements are written '.' and '-'.
// Source:  ITU-R M.1677-1 (10/2009), Annex 1 part I section 1.1; procedure signals by the same and by
//          common practice, marked in the table.
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

// All symbols, letters first, then figures, punctuation, procedure signals. Two symbols may have the
// same elements ("+" and AR, "=" and BT, "(" and KN): the sign stands before the procedure signal.
[[nodiscard]] std::span<const Symbol> symbols();

// By text ("A", lower case accepted); procedure signals by their letters with procedure = true.
[[nodiscard]] const Symbol* find_by_text(std::string_view text, bool procedure = false);
// All readings of a run of elements, likeliest by the context-free rule first; empty where there is none.
[[nodiscard]] std::vector<const Symbol*> find_by_elements(std::string_view elements);
// Sum of the element lengths and inner gaps in dots: E 1, A 5, 0 19.
[[nodiscard]] int units_of(std::string_view elements);

// Text as an operator writes it to symbols: words split at blanks, procedure signals in brackets ("[AR]").
// An empty optional in the result is a word gap. A character outside the table is an error that names it
// and its place.
[[nodiscard]] Result<std::vector<std::optional<Symbol>>> symbols_from_text(std::string_view text);

}  // namespace skedlark::morse
