// The key itself beside the tone that was received: what the transmitter made of each mark.
//
// Stage:   fist. In: audio of a key line or sidetone; the received Keying. Out: KeyComparison.
// Units:   seconds; delays are received minus key.
// Shape:   both channels of one recording, of the same length.
// Time:    edges of the key are where it passes half its level. What both edges are late by is the
//          way of the signal (filters, air); what the beginning is late beyond that is the
//          transmitter's.
// Errors:  key_marks() returns not_found for a channel without two clear levels.
// Threads: pure.
// Source:  two levels by the quantiles of the smoothed channel, hysteresis between them: textbook.
// Checked: tests/dsp/fist/key_line_test.cpp, against the marks as keyed and as sent
#pragma once

#include <span>
#include <vector>

#include "dsp/fist/edges.h"

namespace skedlark::fist {

struct KeyMark {
    double on_s = 0.0;
    double off_s = 0.0;
};

// Of a line that changes its level while the key is down, or of a sidetone.
[[nodiscard]] Result<std::vector<KeyMark>> key_marks(std::span<const float> audio);

// The key's own marks as a measured keying: nothing is known of amplitude and noise. edge_sd_s: what
// an edge may be wrong by. Breaks of a bouncing contact belong to the mark around them; what is out of
// order, has no length or is a click is left out.
[[nodiscard]] Keying keying_of(std::span<const KeyMark> key, double edge_sd_s = 0.0);

// An edge of a keyboard: some milliseconds of looking, and a clock of one (no source; a few keyboards
// are quicker).
inline constexpr double kKeyboardEdgeSdS = 0.002;

struct Delay {
    double mean_s = 0.0;
    double sd_s = 0.0;
};

struct KeyComparison {
    int marks = 0;  // as keyed
    int dots = 0, dashes = 0;
    int dots_lost = 0, dashes_lost = 0;  // keyed, but not received
    std::vector<double> lost_at_s;       // in order of time
    int not_keyed = 0;                   // received, but not keyed
    Delay rise, fall;                    // of the marks that were received whole
    Delay shortened;                     // by so much: rise less fall, mark by mark
};

[[nodiscard]] KeyComparison compare_key(std::span<const KeyMark> key, const Keying& received);

}  // namespace skedlark::fist
