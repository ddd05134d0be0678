// Key down or up, decided dot by dot on the follower's frames: what the front end loses against
// theory.
//
// Stage:   tests. In: SNR, speed, seed. Out: counts of missed marks and false marks. Told: times of
//          the dots, level, noise density, first pitch. Not told: the phase.
// Units:   dB in 2500 Hz, words a minute.
// Errors:  passed on from synth and tone.
// Threads: each call is independent.
// Source:  noncoherent on-off keying with the best threshold, tests/support/on_off_error.h.
// Checked: tests/accuracy/dot_decisions_test.cpp
#pragma once

#include <cstdint>

#include "dsp/core/result.h"

namespace skedlark::accuracy {

struct DotCounts {
    long marks = 0;  // dot intervals with the key down
    long missed = 0;
    long gaps = 0;  // with the key up
    long false_marks = 0;
    // As theory states it: marks and gaps equally likely.
    [[nodiscard]] double error_rate() const;
    DotCounts& operator+=(const DotCounts& other);
};

struct DotSignal {
    double snr_2500hz_db = 0.0;
    double speed_wpm = 20.0;  // a dot must be a whole number of frames: 20, 12, 30, 40
    int groups = 20;          // machine keying of random groups
};

[[nodiscard]] Result<DotCounts> decide_dots(const DotSignal& signal, std::uint64_t seed);

// Dot energy over noise density, dB, at which theory makes this many errors; for 1e-6 to 0.45.
[[nodiscard]] double energy_db_for_error(double error_rate);

}  // namespace skedlark::accuracy
