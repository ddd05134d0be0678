// How late marks begin against the key, as far as the lengths alone tell.
//
// Stage:   fist. In: Keying, Sending, Statistics, the alignment where the text is known. Out: StartLag.
// Units:   seconds.
// Shape:   a message; under eight marks of a kind with a gap to either side tell nothing.
// Time:    none.
// Errors:  none; what was not measured is 0.
// Threads: pure.
// Source:  a lag makes a mark short by what it makes the gap before long: their covariance, less that
//          with the gap after, which a wander of the speed gives both alike (own derivation).
// Checked: tests/dsp/fist/start_lag_test.cpp
#pragma once

#include "dsp/fist/alignment.h"
#include "dsp/fist/statistics.h"

namespace skedlark::fist {

struct StartLag {
    double mean_s = 0.0;      // half of what element gaps are longer than dots
    double sd_s = 0.0;        // from mark to mark
    double over_error = 0.0;  // variance over its standard error
    double dots_lost = 0.0;   // share that the text shows missing; 0 where it is not known
};
[[nodiscard]] StartLag start_lag(const Keying& keying, const Sending& sending,
                                 const Statistics& statistics, const Alignment* alignment);

}  // namespace skedlark::fist
