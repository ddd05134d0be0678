// What was sent against what was meant: each fault with its time, what it sounded like and what it
// should be.
//
// Stage:   fist. In: Keying, Hand, the text meant. Out: Alignment.
// Units:   seconds from the audio's start; places count the characters of the text from 0, gaps not
//          counted.
// Shape:   any text; the sender may correct (eight dots, then the word again), repeat words, begin
//          late, leave passages out, or stop early.
// Time:    none.
// Errors:  align() returns invalid_value for a text without characters.
// Threads: pure.
// Source:  text_search.h; the hand is fitted anew to the lengths whose kind the text tells, and the
//          search done again (hard expectation-maximisation).
// Checked: tests/dsp/fist/alignment_test.cpp; rates by tests/accuracy/fist
#pragma once

#include <string>
#include <vector>

#include "dsp/fist/sending.h"
#include "dsp/fist/text_search.h"

namespace skedlark::fist {

enum class FaultOfText { wrong, missing, extra, run_together, split };
[[nodiscard]] std::string_view name_of(FaultOfText kind);

struct TextError {
    FaultOfText kind = FaultOfText::wrong;
    double at_s = 0.0;         // of its first mark; of what is missing, where it should be
    std::size_t meant_at = 0;  // place in the text; of an extra one, the place it stands before
    std::string meant;         // "" for an extra one
    std::string sent;      // what it sounded like: characters, or elements that are none; "" none
    std::string elements;  // of the same, ".-."
    // Elements of the character that went wrong, where it can still be told as itself.
    int dots_dropped = 0;  // never keyed
    int dashes_dropped = 0;
    int dots_lost = 0;  // their place was held: keyed, but not sent
    int dashes_lost = 0;
    int put_in = 0;
    int other = 0;           // dot for dash or the other way round
    bool corrected = false;  // taken back by eight dots, or by sending the word again
};

// "\"C\" sounded like \"H\", 1 dot too few"
[[nodiscard]] std::string described(const TextError& error);

struct Alignment {
    Sending sending;                // kinds as meant wherever the character can be told
    Hand hand;                      // fitted with the text known
    std::vector<TextError> errors;  // in order of time
    std::size_t meant = 0;          // characters of the text
    std::size_t reached = 0;        // of them, up to where the sender stopped
    std::size_t right = 0;          // of them, sent without an error, or right after a correction
    int corrections = 0;            // by eight dots
    int repeats = 0;                // words or passages sent again without
    int dots_meant = 0, dashes_meant = 0;  // of the characters that can be told
    int dots_gone = 0, dashes_gone = 0;    // of these, not sent
    std::vector<char> right_at;            // a character of the text: 1 right

    [[nodiscard]] bool stopped_early() const { return reached < meant; }
    // The whole text was sent, and nothing was left wrong.
    [[nodiscard]] bool all_right() const;
};

[[nodiscard]] Result<Alignment> align(const Keying& keying, const Hand& hand,
                                      std::span<const std::optional<morse::Symbol>> text);

}  // namespace skedlark::fist
