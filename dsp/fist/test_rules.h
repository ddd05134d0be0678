// The counting rules of sending tests: words by counted characters, solid copy, groups a minute.
//
// Stage:   fist. In: the text meant and which of its characters were right. Out: counts.
// Units:   counted characters (a letter 1; figure, punctuation mark or procedure signal 2); words
//          of five of them; minutes.
// Shape:   any text.
// Time:    none.
// Errors:  none.
// Threads: pure.
// Source:  47 CFR 13.207(c): five letters a word, figure, mark or procedure signal two letters;
//          one minute without a fault at 5, 13, 20 words a minute is 25, 65, 100 counted characters
//          (US volunteer examiners' rule); 16 and 20 code groups a minute of the commercial
//          elements.
// Checked: tests/dsp/fist/test_rules_test.cpp
#pragma once

#include <optional>
#include <span>

#include "dsp/morse/code_table.h"

namespace skedlark::fist {

[[nodiscard]] int counted_characters(const morse::Symbol& symbol);
[[nodiscard]] int counted_characters(std::span<const std::optional<morse::Symbol>> text);

// The longest row of right characters, in counted characters. right: a value each character of the
// text without gaps, 1 where it was right.
[[nodiscard]] int longest_solid(std::span<const std::optional<morse::Symbol>> text,
                                std::span<const char> right);
// How many minutes of solid sending that is at this speed.
[[nodiscard]] double solid_minutes(int counted, double words_a_minute);

// Words of five counted characters, and groups as parted by blanks.
[[nodiscard]] double words_a_minute(int counted, double seconds);
[[nodiscard]] int groups_of(std::span<const std::optional<morse::Symbol>> text);

}  // namespace skedlark::fist
