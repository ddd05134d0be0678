// Which speed and kind of hand a stretch of frames holds, without reading it.
//
// Stage:   copy. In: mark evidence over a stretch. Out: log evidence of every speed and hand tried.
// Units:   natural logarithms against noise alone (0); lengths in baseband frames.
// Shape:   4 to 60 wpm in steps of kSpeedStep.
// Errors:  none.
// Threads: one thread per instance. Allocates.
// Source:  the forward pass of a hidden semi-Markov model with marks and gaps only (Yu, Artificial
//          Intelligence 174, 2010), summed over all ways to cut the stretch into dots, dashes and
//          gaps.
// Checked: tests/dsp/copy/speed_scan_test.cpp
#pragma once

#include <cstdint>
#include <vector>

#include "dsp/copy/mark_evidence.h"
#include "dsp/copy/timing_model.h"

namespace skedlark::copy {

inline constexpr double kSpeedStep = 0.05;  // relative

struct SpeedScore {
    double dot_frames = 0.0;
    bool loose = false;  // loose_hand() rather than even_hand()
    double log_evidence = 0.0;
    [[nodiscard]] Timing timing() const {
        return timing_of(loose ? loose_hand() : even_hand(), dot_frames);
    }
};

struct SpeedRange {
    double least_dot_frames;
    double most_dot_frames;
    [[nodiscard]] static SpeedRange all();
    // Within a third of a speed that was told.
    [[nodiscard]] static SpeedRange about(double speed_wpm);
};

struct SpeedScan {
    std::vector<SpeedScore> scores;  // likeliest first
    double current_evidence = 0.0;   // of the lengths passed as current
    double stray_evidence = 0.0;     // the best that keying without Morse lengths can do
};

// Frames from <= i < to, which evidence must still hold.
[[nodiscard]] SpeedScan scan_speeds(const MarkEvidence& evidence, std::int64_t from,
                                    std::int64_t to, const SpeedRange& range,
                                    const Timing* current = nullptr);

}  // namespace skedlark::copy
