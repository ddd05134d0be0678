// The place of a fault in the keying, and the strip of elements about it.
//
// Stage:   gui/fist, no Qt. In: a Grade, a fault or an error against the text. Out: Place, Strip.
// Units:   seconds from the attempt's start.
// Shape:   a strip is kStripS long, or as long as the place and a little more.
// Errors:  none; an empty grade gives an empty strip.
// Threads: pure.
// Source:  none
// Checked: tests/desk/fist/keying_strip_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/fist/grading.h"

namespace skedlark::gui {

inline constexpr double kStripS = 7.0;
inline constexpr double kHeardBesideS = 1.0;  // of what is played, to either side

struct Place {
    double from_s = 0.0;
    double to_s = 0.0;
    bool gap = false;  // what is faulty is a gap, or something that is not there
};
[[nodiscard]] Place place_of(const fist::Grade& grade, const fist::Fault& fault);
[[nodiscard]] Place place_of(const fist::Grade& grade, const fist::TextError& error);

struct StripMark {
    double from_s = 0.0;
    double to_s = 0.0;
    bool dash = false;
    bool faulty = false;
};
struct StripCharacter {
    double from_s = 0.0;
    double to_s = 0.0;
    std::string text{};
};
struct KeyingStrip {
    double from_s = 0.0;
    double to_s = 0.0;
    double unit_s = 0.0;  // 0: not known
    std::vector<StripMark> marks{};
    std::vector<StripCharacter> characters{};
    Place place{};
    bool has_place = false;
};
// place null: the beginning.
[[nodiscard]] KeyingStrip strip_about(const fist::Grade& grade, const Place* place);

}  // namespace skedlark::gui
