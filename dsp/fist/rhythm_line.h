// Speed and evenness through a sending, for a line over time.
//
// Stage:   fist. In: Keying, Sending, the hand's unit. Out: RhythmPoint list.
// Units:   seconds from the audio's start; words a minute; unevenness as a share of the speed.
// Shape:   a point for each kRhythmCharacters characters in a row, half of them shared with the next;
//          none for fewer.
// Time:    at_s is the mean time of the characters.
// Errors:  none.
// Threads: pure.
// Source:  speed of single characters as in statistics.h; unevenness is the weighted standard
//          deviation of ln(speed) among them.
// Checked: tests/dsp/fist/rhythm_line_test.cpp
#pragma once

#include <vector>

#include "dsp/fist/sending.h"

namespace skedlark::fist {

// Speed of one character, element gaps within it counted in; of those with two marks or more.
struct CharacterSpeed {
    double at_s = 0.0;    // its first mark
    double speed = 0.0;   // over that of the unit
    double weight = 0.0;  // units it has
};
[[nodiscard]] std::vector<CharacterSpeed> character_speeds(const Keying& keying,
                                                           const Sending& sending, double unit_s);

inline constexpr std::size_t kRhythmCharacters = 8;

struct RhythmPoint {
    double at_s = 0.0;
    double speed_wpm = 0.0;
    double unevenness = 0.0;
};
[[nodiscard]] std::vector<RhythmPoint> rhythm_line(const Keying& keying, const Sending& sending,
                                                   double unit_s);

}  // namespace skedlark::fist
