// From the key to its sound, measured: the sidetone's output joined to an input.
//
// Stage:   fist. In: when the key was pressed and let go, what the input heard. Out: KeyDelay.
// Units:   seconds of one clock; audio at the work rate.
// Shape:   some ten presses or more, apart by more than the delay that is looked for.
// Time:    the way into the input is in it as well: the delay to the ear is shorter.
// Errors:  not_found: the input hears no tone, or not as many marks as were pressed.
// Threads: pure.
// Source:  none
// Checked: tests/dsp/fist/key_delay_test.cpp; through a sound card tests/cli/live_test.cpp
#pragma once

#include <span>

#include "dsp/fist/key_line.h"

namespace skedlark::fist {

inline constexpr double kLongestKeyDelayS = 0.5;

struct KeyDelay {
    int edges = 0;
    double mean_s = 0.0;
    double sd_s = 0.0;  // from edge to edge
    double worst_length_s =
        0.0;  // by so much a mark came out longer or shorter than it was pressed
};

// heard_from_s: of the same clock, at the first sample.
[[nodiscard]] Result<KeyDelay> key_delay(std::span<const KeyMark> pressed,
                                         std::span<const float> heard, double heard_from_s);

}  // namespace skedlark::fist
