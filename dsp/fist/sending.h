// What was sent, as a listener would write it: marks and gaps with their kind, put into characters.
//
// Stage:   fist. In: Keying and Kinds. Out: Sending, the common ground of all that is told of a hand.
// Units:   seconds from the audio's start.
// Shape:   every mark belongs to one character.
// Time:    a character lasts from its first mark's beginning to its last one's end.
// Errors:  none; a run of elements that is no character reads "_".
// Threads: pure.
// Source:  none
// Checked: tests/dsp/fist/sending_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/fist/hand.h"

namespace skedlark::fist {

struct SentCharacter {
    std::string text;  // "A", letters of a procedure signal, or "_"
    bool procedure = false;
    std::string elements;  // ".-"
    std::size_t first_mark = 0;
    std::size_t marks = 1;
    bool word_begins = false;  // a word gap, a pause or nothing comes before
};

struct Sending {
    Kinds kinds;
    std::vector<SentCharacter> characters;
    // 1: this length counts in the statistics of its kind (right, and no audio missing beside it).
    std::vector<char> mark_counts;
    std::vector<char> gap_counts;
};

[[nodiscard]] Sending read_sending(const Keying& keying, const Kinds& kinds);

// As text: words parted by blanks, procedure signals in brackets.
[[nodiscard]] std::string text_of(const Sending& sending);

}  // namespace skedlark::fist
