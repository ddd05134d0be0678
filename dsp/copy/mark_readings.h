// How a mark may be read - phase and level steady or not - and the score of each way.
//
// Stage:   copy, inside of mark_evidence.h. In: sums over stretches of frames. Out: log-likelihood
//          ratios of a mark to noise.
// Units:   natural logarithms; sums have no unit.
// Shape:   plain functions of single numbers without a branch, to be called in a loop over lengths.
// Errors:  none.
// Threads: safe from any.
// Source:  as mark_evidence.h.
// Checked: tests/dsp/copy/mark_evidence_test.cpp
#pragma once

#include <array>
#include <cmath>
#include <complex>
#include <cstddef>

#include "dsp/copy/log_tables.h"

namespace skedlark::copy {

// Sums over the frames of a stretch.
struct Stretch {
    float re, im;       // of a z / v
    float weight;       // of a^2 / v
    float rough, torn;  // scores without the phase of the whole, without that of each frame
};

inline Stretch operator-(const Stretch& a, const Stretch& b) {
    return {a.re - b.re, a.im - b.im, a.weight - b.weight, a.rough - b.rough, a.torn - b.torn};
}

inline constexpr std::size_t kReadings = 6;
using Readings = std::array<float, kReadings>;  // in the order of MarkMix

// Parts of a mark that are added up without their phases where the phase turns; each by the reading
// that suits it, because a chirp settles within the mark.
inline constexpr int kTurningParts = 4;
// Where the whole mark weighs less, its quarters say nothing: it is read as steady.
inline constexpr float kTurningLeast = 20.0F;

// Score of a reading that is not to be had.
inline constexpr float kNotCarried = -1000.0F;

inline float larger(float a, float b) { return a > b ? a : b; }

inline float steady_score(const LogTables& tables, const Stretch& s) {
    return tables.log_bessel_i0(2.0F * std::sqrt(s.re * s.re + s.im * s.im)) - s.weight;
}

inline float fading_score(const LogTables& tables, const Stretch& s) {
    const float one_more = 1.0F + s.weight;
    return (s.re * s.re + s.im * s.im) / one_more - tables.log(one_more);
}

// Whichever reading carries this part of a turning mark best; thirds of a likelihood each.
inline float part_score(const LogTables& tables, const Stretch& part) {
    constexpr float kLogThree = 1.09861229F;
    const float steady = steady_score(tables, part);
    return larger(steady, larger(part.rough, part.torn)) - kLogThree;
}

// tails: what is left of the mark after its first, second and third quarter.
inline float turning_score(const LogTables& tables, const Stretch& whole, const Stretch& tail1,
                           const Stretch& tail2, const Stretch& tail3) {
    return part_score(tables, whole - tail1) + part_score(tables, tail1 - tail2) +
           part_score(tables, tail2 - tail3) + part_score(tables, tail3);
}

// Frames after the first `part` quarters of a mark of so many.
inline constexpr int tail_frames(int frames, int part) {
    return frames - frames * part / kTurningParts;
}

// ln(sum of share * exp(score)); written out, because a loop would keep others from being taken
// several turns at a time.
inline float log_mix(const LogTables& tables, const Readings& shares, float steady, float fading,
                     float turning, float rough, float torn, float carried) {
    const float high =
        larger(larger(larger(steady, fading), larger(turning, rough)), larger(torn, carried));
    const float sum =
        shares[0] * tables.exp(steady - high) + shares[1] * tables.exp(fading - high) +
        shares[2] * tables.exp(turning - high) + shares[3] * tables.exp(rough - high) +
        shares[4] * tables.exp(torn - high) + shares[5] * tables.exp(carried - high);
    return high + tables.log(sum + 1e-30F);
}

}  // namespace skedlark::copy
