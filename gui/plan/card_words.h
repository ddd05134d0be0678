// The words of a contact card as the page shows them.
//
// Stage:   gui/plan, no Qt. In: a card. Out: text.
// Units:   in the text.
// Shape:   what is not known is said to be so; no line is left empty.
// Time:    those of the card: to_go counts each second.
// Errors:  none
// Threads: all functions are pure.
// Source:  none
// Checked: tests/desk/plan/card_words_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/station/card.h"

namespace skedlark::gui {

struct CardWords {
    std::string to_go{};         // "1:04:09", "12:30"; of a contact that runs the time left
    std::string to_go_of{};      // "to the start", "left until giving up"
    std::string stage{};         // "waiting", "warm up: receiver on"
    std::string with{};          // "QXB2  Valley base"
    std::string when{};          // "Thu 26 Nov 18:30 to 18:50 UTC, 19:30 CET"
    std::string switch_on{};     // "18:05 UTC, in 0:39:09"
    std::string receive{};       // "3570.0 kHz"
    std::string dial{};          // "band 2, 34.2 (33.8 to 34.6)"
    std::string listen{};        // "34.1, sweep 32.2 to 36.2 in 3.4 min"
    std::string answer{};        // "crystal K1: 3562.5 kHz, switch 1"
    std::string give_up{};       // "18:42 UTC"
    std::string fallback{};      // the next one, or the next time round
    std::string battery{};       // "shelf: 78 % at the start, 71 % after"
    std::string battery_left{};  // "flat after 14.2 h of receiving"
    std::string kit{};
    std::vector<std::string> notes{};  // what must not be overlooked
};

[[nodiscard]] CardWords words_of(const station::ContactCard& card);

// Two lines of the list: "Thu 26 Nov 18:30  QXB2" and "3570.0 kHz, evening".
[[nodiscard]] std::string line_of(const station::ContactCard& card);
// "2 d 03:10:09", "1:04:09", "04:09"; the sign is left out.
[[nodiscard]] std::string count_down(double seconds);
// "Thu 26 Nov"
[[nodiscard]] std::string day_words(UtcTime time);
// "18:30"
[[nodiscard]] std::string hour_words(UtcTime time);

}  // namespace skedlark::gui
