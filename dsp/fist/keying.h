// The marks of a followed tone, cut at its half amplitude to about a millisecond.
//
// Stage:   fist. In: FineBaseband. Out: marks, with short breaks in them told apart from gaps.
// Units:   fine frames (milliseconds); amplitudes as in FineBaseband.
// Shape:   any length; no tone gives no marks.
// Time:    as FineBaseband.
// Errors:  none.
// Threads: pure.
// Source:  two-state Viterbi search on the Rician against the Rayleigh likelihood of each
//          millisecond (Rabiner, Proc. IEEE 77, 1989).
// Checked: tests/dsp/fist/keying_test.cpp
#pragma once

#include <vector>

#include "dsp/fist/fine_baseband.h"

namespace skedlark::fist {

// Shorter ones are clicks, and breaks of a contact or of hum rather than gaps.
inline constexpr int kShortestMarkMs = 6;
inline constexpr int kLongestBreakMs = 12;

struct Break {
    int from = 0;  // first frame without tone
    int to = 0;    // one past the last
};

struct RoughMark {
    int from = 0;
    int to = 0;
    double amplitude = 0.0;
    std::vector<Break> breaks{};
    [[nodiscard]] int length() const { return to - from; }
};

[[nodiscard]] std::vector<RoughMark> find_marks(const FineBaseband& tone);

}  // namespace skedlark::fist
