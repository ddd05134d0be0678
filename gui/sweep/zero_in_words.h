// The way back to a station in a few words and digits, to be read from two metres.
//
// Stage:   gui/sweep, no Qt. In: what is heard on the way back. Out: a word, digits, a line of why.
// Units:   divisions, hertz.
// Errors:  none.
// Threads: none.
// Source:  none
// Checked: tests/desk/sweep/zero_in_words_test.cpp
#pragma once

#include <string>

#include "gui/sweep/sweep_user.h"

namespace skedlark::gui {

struct ZeroInWords {
    std::string word{};    // "turn up", "turn down", "there", "listen"
    std::string digits{};  // "0.03 div"; empty: none to tell
    std::string why{};     // "812 Hz: 112 too high"
    dial::Turn turn = dial::Turn::here;
    bool heard = false;  // turn says something
};

[[nodiscard]] ZeroInWords words_of(const ZeroInHeard& way);

}  // namespace skedlark::gui
