// How far a pitch moves from one stretch of time to the next, for stretches of 1, 2, 4, ... seconds.
//
// Stage:   bench. In: one measured second after the other. Out: rms change for each length.
// Units:   seconds, hertz.
// Shape:   lengths to 2^19 s (six days); stretches that follow each other, none twice.
// Time:    none.
// Errors:  none.
// Threads: one thread per instance; add() does not allocate.
// Source:  the change is sqrt 2 times the Allan deviation (Allan, Proc. IEEE 54 (1966) 221-230), in hertz.
//          What noise adds to it is taken off. Its degrees of freedom are two thirds of the number of changes
//          (white frequency noise: neighbouring changes share a stretch; from memory), which is few for a walk.
// Checked: tests/dsp/bench/pitch_wander_test.cpp
#pragma once

#include <array>
#include <vector>

#include "dsp/bench/figure.h"
#include "dsp/bench/pitch_second.h"

namespace skedlark::bench {

struct Wander {
    double over_s = 0.0;
    Figure rms_change_hz{};
    long changes = 0;
};

class PitchWander {
 public:
    void add(bool measured, const PitchSecond& second);
    // Lengths with three changes or more.
    [[nodiscard]] std::vector<Wander> result() const;

 private:
    static constexpr std::size_t kOctaves = 20;
    struct Octave {
        double half = 0.0, half_variance = 0.0;  // first half of the stretch being filled
        bool has_half = false, half_whole = false;
        double last = 0.0, last_variance = 0.0;
        bool last_whole = false;
        double squares = 0.0, noise = 0.0;
        long changes = 0;
    };
    void push(std::size_t octave, bool whole, double mean, double variance);

    std::array<Octave, kOctaves> octaves_{};
};

}  // namespace skedlark::bench
