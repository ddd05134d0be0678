// What a graded sending leaves in the log, and what of it counts by character.
//
// Stage:   log. In: fist::Grade and the text meant. Out: an Entry of the kind practice.
// Units:   measurements: score 0 to 100, overall_wpm, dash_to_dot, dot_cv and its like; fault_NAME 1;
//          characters_meant and characters_right; fixed_test 1 where the text is the fixed one; and
//          by character, as morse::scoring_symbols() names it: keyed_A how often, faulty_A how
//          often of these it was not right (with the text only), off_A the root mean square of
//          ln(length over its standard).
// Shape:   other practice (copying) has no score and is no sending.
// Errors:  none.
// Threads: pure.
// Source:  none
// Checked: tests/dsp/log/sending_entry_test.cpp
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>

#include "dsp/fist/grading.h"
#include "dsp/log/entry.h"

namespace skedlark::log {

struct SendingFacts {
    UtcTime started{};
    std::string who{};
    std::string input{};
    std::string recording{};
};
[[nodiscard]] Entry sending_entry(const fist::Grade& grade,
                                  std::span<const std::optional<morse::Symbol>> text,
                                  const SendingFacts& facts);

[[nodiscard]] bool is_sending(const Entry& entry);
// NaN where the entry has no such measurement.
[[nodiscard]] double measured(const Entry& entry, std::string_view name);

struct KeyedCharacter {
    double keyed = 0.0;
    double faulty = 0.0;
    bool with_text = false;              // faulty was looked for
    double off_standard = kNotMeasured;  // root mean square over those keyed
};
using KeyedCharacters = std::map<std::string, KeyedCharacter>;
[[nodiscard]] KeyedCharacters keyed_characters(const Entry& entry);

}  // namespace skedlark::log
