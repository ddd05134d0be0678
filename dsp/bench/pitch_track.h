// How a tone moves: its pitch frame by frame, a line through it, the phase that follows it.
//
// Stage:   bench, inside of tone_track.h. In: Baseband about the tone. Out: FrameTrack, Line, phases.
// Units:   hertz from the frequency taken out of the baseband; seconds from the middle; radians.
// Shape:   one value a frame of 0.4 s, half overlapped.
// Time:    in the middle of each frame.
// Errors:  none; a baseband shorter than a frame gives an empty track.
// Threads: pure.
// Source:  strongest point of a fine grid under a sine window and a parabola; the line is that of Theil and
//          Sen (Sen, J. Amer. Stat. Assoc. 63 (1968) 1379-1389): single frames gone wrong do not turn it.
// Checked: tests/dsp/bench/pitch_track_test.cpp
#pragma once

#include <vector>

#include "dsp/bench/baseband.h"

namespace skedlark::bench {

inline constexpr double kTrackHalfWidthHz = 62.5;  // of the baseband

struct FrameTrack {
    std::vector<double> at_s;
    std::vector<double> hz;
};
[[nodiscard]] FrameTrack frame_track(const Baseband& base);

struct Line {
    double at_middle = 0.0;
    double slope = 0.0;
};
[[nodiscard]] Line line_through(const FrameTrack& track);

[[nodiscard]] double median(std::vector<double> values);  // not empty
// Median of three neighbours each.
[[nodiscard]] std::vector<double> without_outliers(const std::vector<double>& hz);
// Phase to take out further to follow the track, one a sample of the baseband.
[[nodiscard]] std::vector<double> following_phase(const Baseband& base, const FrameTrack& track);

}  // namespace skedlark::bench
