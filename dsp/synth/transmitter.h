// What key and transmitter make of the marks of the hand: slow to start, bouncing contacts.
//
// Stage:   synth. In: the marks as keyed. Out: the marks as they go out.
// Units:   seconds; lag_spread is a standard deviation over the mean.
// Shape:   a mark shorter than its lag does not go out at all; a bounce cuts a mark in two or more.
// Time:    a mark begins its lag after the key closes and ends when the key opens.
// Errors:  none; settings are checked with the scene's.
// Threads: pure.
// Source:  an oscillator tuned to its very peak starts late, each time by another lag: common
//          practice, no source. The distributions are this project's own choice.
// Checked: tests/dsp/synth/transmitter_test.cpp
#pragma once

#include <cstdint>
#include <vector>

#include "dsp/synth/keyer.h"

namespace skedlark::synth {

struct TransmitterConfig {
    double lag_s = 0.0;             // 0 to 1, mean time until the oscillator has started
    double lag_spread = 1.0 / 3.0;  // 0 to 2, from mark to mark (normal, never below 0)
    double cold_lag_s = 0.0;        // 0 to 1, on top, after a rest of cold_after_s or more
    double cold_after_s = 0.5;      // 0.05 to 100
    double bounce_chance = 0.0;     // 0 to 1, that the contact bounces as it closes
    double bounce_open_s = 0.003;   // 0.0005 to 0.02, mean time it is open, half to one and a half
    double bounce_after_s = 0.004;  // 0.0005 to 0.05, mean time after closing
};

[[nodiscard]] std::vector<Mark> go_out(const std::vector<Mark>& keyed,
                                       const TransmitterConfig& config, std::uint64_t seed);

}  // namespace skedlark::synth
