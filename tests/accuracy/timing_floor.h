// The best that can be read from a hand's exact key-down times when the hand is told: what uneven
// sending alone costs, however strong the signal.
//
// Stage:   tests (bounds). In: key-down times. Out: text.
// Units:   seconds; lengths in dots.
// Shape:   a message of any length; nothing before its first mark or after its last. Told: the mean
//          speed, the means and spreads of all five lengths, how far and how fast the speed wanders
//          (not where it stands), which characters occur, how many gaps are word gaps. Not told:
//          which marks are dashes, where characters and words end.
// Errors:  none; a message that no character sequence fits gives an empty text.
// Threads: none.
// Source:  log-normal lengths, as the hands are made; wander as a Markov chain over steps of speed.
// Checked: tests/accuracy/timing_floor_test.cpp
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "dsp/synth/fist.h"
#include "dsp/synth/keyer.h"
#include "tests/accuracy/grid_decoder.h"

namespace skedlark::accuracy {

struct HandTold {
    synth::Fist fist;
    double speed_wpm = 16.0;
    std::string_view alphabet;          // equally likely characters
    double word_gap_share = 1.0 / 5.0;  // of the gaps between characters
    Decision decision = Decision::posterior;
};

// Uses on_s and off_s of the marks, not what they were meant to be.
[[nodiscard]] std::string decode_timing(std::span<const synth::Mark> marks, const HandTold& told);

}  // namespace skedlark::accuracy
