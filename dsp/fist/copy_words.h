// A marked copy in words: the text sent above the text typed, what is wrong below, counts, pairs.
//
// Stage:   fist. In: CopyScore. Out: text of one width.
// Units:   columns of characters.
// Shape:   rows of three lines, blanks at their ends left out.
// Time:    none.
// Errors:  none.
// Threads: pure.
// Source:  none
// Checked: tests/dsp/fist/copy_words_test.cpp
#pragma once

#include <cstddef>
#include <string>

#include "dsp/fist/copy_score.h"

namespace skedlark::fist {

// A symbol by its scoring name as it is written: "+" is [AR].
[[nodiscard]] std::string written(const std::string& symbol);

// "x wrong, _ left open, - missing, + put in, | gap between words"
[[nodiscard]] std::string signs_in_words();
[[nodiscard]] std::string marked_rows(const CopyScore& score, std::size_t columns);
[[nodiscard]] std::string counts_in_words(const CopyScore& score);
// "S was typed for H: twice", a line each, most frequent first.
[[nodiscard]] std::string pairs_in_words(const CopyScore& score, std::size_t most);

}  // namespace skedlark::fist
