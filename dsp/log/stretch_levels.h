// Level of a keyed tone and of the noise around it over one stretch of a watch, and two stretches
// compared: has a change of aerial or earth helped?
//
// Stage:   log. In: baseband frames of a followed tone, or audio and its pitch. Out: levels and
//          changes with their uncertainty.
// Units:   dBFS (a sine of peak 1.0 is 0), noise in 2500 Hz; decibels; 95 % half-widths.
// Shape:   kShortestStretchS or more of audio; the two stretches may differ in length.
// Time:    levels are means of power over the stretch; the signal's is with the key down.
// Errors:  invalid_value: too short, no audio, no tone that stands out, times out of order.
// Threads: all functions are pure.
// Source:  moments of an on-off envelope as in tone/level_meter.h; its uncertainty by leaving out
//          one block after the other (Tukey's jackknife; Efron and Tibshirani, An Introduction to
//          the Bootstrap, ch. 11), blocks of 5 s or more so that fading counts.
// Checked: tests/dsp/log/stretch_levels_test.cpp
#pragma once

#include <span>

#include "dsp/core/result.h"
#include "dsp/tone/frame.h"

namespace skedlark::log {

inline constexpr double kShortestStretchS = 30.0;
inline constexpr double kShortestBlockS = 5.0;
inline constexpr int kMostBlocks = 24;

struct Level {
    double value_db = 0.0;
    double half_width_95_db = 0.0;
};

struct StretchLevels {
    Level signal_dbfs;
    Level noise_dbfs;
    Level snr_2500hz_db;
    double seconds = 0.0;  // heard, without lost audio
};

struct StretchComparison {
    StretchLevels before;
    StretchLevels after;
    Level signal_change_db;
    Level noise_change_db;
    Level snr_change_db;

    // Whether the interval leaves out that nothing has changed.
    [[nodiscard]] static bool is_clear(const Level& change);
};

[[nodiscard]] Result<StretchLevels> levels_of_frames(std::span<const tone::BasebandFrame> frames);
// audio at the work rate. lead_frames at its front are for settling and do not count.
[[nodiscard]] Result<StretchLevels> levels_of_audio(std::span<const float> audio, double pitch_hz,
                                                    FrameIndex lead_frames = 0);
[[nodiscard]] StretchComparison compare(const StretchLevels& before, const StretchLevels& after);

}  // namespace skedlark::log
