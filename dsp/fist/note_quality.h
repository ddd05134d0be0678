// What the transmitter makes of the note and of its beginning: chirp, hum, bouncing contacts.
//
// Stage:   fist. In: FineBaseband, Keying. Out: NoteQuality, each with its standard error.
// Units:   hertz; depth of hum as a share of the amplitude; shares 0 to 1.
// Shape:   marks shorter than kLongEnoughS say nothing of chirp and hum.
// Time:    chirp is the pitch some 10 ms after a mark's beginning against that before its end.
// Errors:  none; with fewer than eight long marks all is 0 with infinite error.
// Threads: pure.
// Source:  pitch by the phase from one millisecond to the next (Kay, IEEE Trans. ASSP 37, 1989,
//          unweighted); hum by the Fourier sum at the mains' frequency and its double against
//          frequencies where none can be.
// Checked: tests/dsp/fist/note_quality_test.cpp
#pragma once

#include <limits>

#include "dsp/fist/edges.h"

namespace skedlark::fist {

inline constexpr double kLongEnoughS = 0.07;

struct NoteValue {
    double value = 0.0;
    double error = std::numeric_limits<double>::infinity();
    [[nodiscard]] double over_error() const { return value / error; }
};

struct NoteQuality {
    NoteValue chirp_hz;
    NoteValue hum_depth;     // of the strongest line
    double hum_hz = 0.0;     // 50, 60, 100 or 120
    NoteValue bounce_share;  // marks whose rise breaks off, over those that only seem to
    double first_bounce_s = -1.0;
};

[[nodiscard]] NoteQuality note_quality(const FineBaseband& tone, const Keying& keying);

}  // namespace skedlark::fist
