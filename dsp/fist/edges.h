// When each mark began and ended, to a fraction of a millisecond, with the error of each edge.
//
// Stage:   fist. In: FineBaseband, the marks as cut by find_marks(). Out: MeasuredMark.
// Units:   seconds from the audio's start.
// Shape:   one MeasuredMark a mark.
// Time:    an edge is where the amplitude passes one half of the mark's.
// Errors:  none.
// Threads: pure.
// Source:  maximum likelihood against the station's own edge: the mean of all its edges, brought
//          to the same time (synchronous averaging), is the template each edge is then fitted with;
//          variance by the Cramer-Rao bound for delay, noise density over amplitude squared and the
//          energy of the slope (Kay, Estimation Theory, ch. 3, from memory).
// Checked: tests/dsp/fist/edges_test.cpp, against the truth of keyed scenes and that bound
#pragma once

#include <span>
#include <vector>

#include "dsp/fist/keying.h"

namespace skedlark::fist {

struct MeasuredMark {
    double on_s = 0.0;
    double off_s = 0.0;
    double on_sd_s = 0.0;  // standard deviation of the edge's error
    double off_sd_s = 0.0;
    double amplitude = 0.0;
    int breaks = 0;               // short losses of the tone inside
    double first_break_s = -1.0;  // after the beginning; below 0: none
    bool beside_lost = false;     // audio is missing at or beside it: lengths mean nothing

    [[nodiscard]] double length_s() const { return off_s - on_s; }
    [[nodiscard]] double length_variance() const { return on_sd_s * on_sd_s + off_sd_s * off_sd_s; }
};

struct Keying {
    std::vector<MeasuredMark> marks;
    double rise_s = 0.0;  // 10 to 90 % of the mean edge; 0: too few marks to say
    double fall_s = 0.0;
    double snr_2500hz_db = 0.0;  // mark amplitude over the noise in the gaps

    [[nodiscard]] double gap_s(std::size_t after) const {
        return marks[after + 1].on_s - marks[after].off_s;
    }
    [[nodiscard]] double gap_variance(std::size_t after) const {
        const double a = marks[after].off_sd_s;
        const double b = marks[after + 1].on_sd_s;
        return a * a + b * b;
    }
};

[[nodiscard]] Keying measure_edges(const FineBaseband& tone, std::span<const RoughMark> marks);

}  // namespace skedlark::fist
