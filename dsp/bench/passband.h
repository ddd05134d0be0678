// What a response curve says: widths, shape factor, noise bandwidth, both sides of zero beat.
//
// Stage:   bench. In: ResponsePoints, in any order. Out: figures.
// Units:   hertz, dB under the highest point.
// Shape:   3 to 100,000 points.
// Time:    none.
// Errors:  read_passband(): invalid_value with what is missing. A width the points do not reach is
//          empty, and `remarks` says how far they do.
// Threads: pure.
// Source:  widths and shape factor: common practice (ITU-R SM.332, from memory); noise bandwidth: area of the power
//          response over its highest point (definition).
// Checked: tests/dsp/bench/passband_test.cpp, against the closed forms of tuned circuits and Butterworth filters
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/bench/response_points.h"

namespace skedlark::bench {

struct BandEdge {
    double under_db = 6.0;
    std::optional<Figure> low_hz{}, high_hz{};
    std::optional<Figure> width_hz{};  // high less low
};

struct SideRatio {
    double pitch_hz = 0.0;
    Figure above_over_below_db{};
};

// Pitch of one generator frequency at its weakest and its strongest.
struct Pulling {
    double generator_hz = 0.0;
    double from_db = 0.0, to_db = 0.0;
    double shift_hz = 0.0;  // of zero beat against the generator
};

struct Passband {
    double peak_offset_hz = 0.0;
    double peak_db = 0.0;
    double deepest_db =
        0.0;  // how far under the highest point the points reach, by the lesser side
    BandEdge at_6_db{6.0, {}, {}, {}}, at_60_db{60.0, {}, {}, {}};
    std::optional<Figure> shape_factor{};
    std::optional<Figure> noise_bandwidth_hz{};
    // With both sides of zero beat: middle of the 6 dB points, where the beat oscillator is off the middle of
    // the filter by as much.
    std::optional<Figure> centre_hz{};
    std::vector<SideRatio> sides{};         // at pitches measured on both
    std::optional<Figure> side_ratio_db{};  // at the listening pitch
    std::vector<Pulling> pulling{};
    std::vector<std::string> remarks{};
    std::vector<ResponsePoint> points{};  // by rising offset
};

struct PassbandConfig {
    double listening_hz = 700.0;  // 100 to 3000: where both sides are compared
};

[[nodiscard]] Result<Passband> read_passband(std::vector<ResponsePoint> points,
                                             const PassbandConfig& config);

}  // namespace skedlark::bench
