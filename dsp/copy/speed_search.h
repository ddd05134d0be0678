// The speed of a station that is not read yet, together with the level of its marks; and whether
// that is sure.
//
// Stage:   copy. In: mark evidence. Out: the scan at the level that suits best, and that level.
// Units:   amplitudes as in BasebandFrame; natural logarithms; boundaries in frames.
// Shape:   the frames of evidence from `from` on, which it must still hold.
// Errors:  none.
// Threads: one thread per instance. Allocates. The evidence is left at some level that was tried;
//          who goes on must set it anew.
// Source:  the bounds are this project's, set on seeds below 1000: docs/measured.md, invented text.
// Checked: tests/dsp/copy/speed_search_test.cpp
#pragma once

#include "dsp/copy/mark_evidence.h"
#include "dsp/copy/speed_scan.h"

namespace skedlark::copy {

struct FoundSpeed {
    SpeedScan scan;
    double amplitude = 0.0;
};

[[nodiscard]] FoundSpeed find_speed(MarkEvidence& evidence, std::int64_t from,
                                    const SpeedRange& range);

// Morse, and no other speed could be meant; after so many frames the likeliest is taken.
[[nodiscard]] bool is_sure(const SpeedScan& scan, std::int64_t frames);

}  // namespace skedlark::copy
