// The level of practice: groups a minute, and what speed and spacing that is.
//
// Stage:   fist. In: a level, how much was right. Out: speeds; the level to take next.
// Units:   five-letter groups a minute, every letter equally likely; words a minute by PARIS.
// Shape:   none.
// Time:    none.
// Errors:  pace_at() returns invalid_value naming the level, or the speed, and its range.
// Threads: pure.
// Source:  ITU-R M.1677-1 (lengths of letters and gaps); the 50-unit word PARIS. The next level is the
//          likeliest one of nine in ten, log odds falling with the logarithm of the speed (logistic
//          curve, likelihood of all attempts together). That it should be nine in ten is a rule of
//          this project, no source.
// Checked: tests/dsp/fist/practice_level_test.cpp
#pragma once

#include <span>

#include "dsp/core/result.h"

namespace skedlark::fist {

// Of a group and the gap after it: five letters of the mean length.
[[nodiscard]] double units_of_a_group();
[[nodiscard]] double level_of_speed(double speed_wpm);
[[nodiscard]] double speed_of_level(double groups_a_minute);
// As the speeds of kMinSpeedWpm and kMaxSpeedWpm.
[[nodiscard]] double lowest_level();
[[nodiscard]] double highest_level();
// Rather slow to begin with; any person's own next level follows from the first exercise.
inline constexpr double kFirstLevel = 8.0;

struct Pace {
    double character_wpm = 0.0;
    double overall_wpm = 0.0;  // as character_wpm: standard gaps
};
// Characters at character_wpm and gaps that make the level of it; where the level is faster than that,
// characters go along.
[[nodiscard]] Result<Pace> pace_at(double groups_a_minute, double character_wpm);

struct LevelAttempt {
    double groups_a_minute = 0.0;
    int right = 0;
    int of = 0;
};
// The level at which about nine in ten should be right, by what was right at the last few, the latest
// at the end and weighing most; a fifth from the latest at most. Without any: kFirstLevel.
[[nodiscard]] double next_level(std::span<const LevelAttempt> attempts);

}  // namespace skedlark::fist
