// Counts captured frames against a steady clock, to notice audio that never arrived.
//
// Stage:   audio. In: when each block was handed over and its frames. Out: frames lost before it.
// Units:   seconds of a steady clock that also runs while the machine sleeps; frames.
// Shape:   one call a block. After a sign of loss (overflow flag, restarted stream) the loss is the
//          whole lag against the clock; without one only a lag above kUnflaggedLossS that lasts for
//          kWindowS counts, because a busy machine hands blocks over late and then catches up.
// Time:    a sound card is allowed kMaxDrift against the clock for ever.
// Errors:  none.
// Threads: one thread per instance; does not allocate.
// Source:  none.
// Checked: tests/dsp/audio/frame_clock_test.cpp
#pragma once

#include "dsp/core/units.h"

namespace skedlark::audio {

class FrameClock {
 public:
    // Sound cards and computer clocks differ by 100 ppm at most (common practice, no source).
    static constexpr double kMaxDrift = 500e-6;
    static constexpr double kWindowS = 2.0;
    static constexpr double kUnflaggedLossS = 0.2;
    static constexpr double kFlaggedLossS = 0.005;

    explicit FrameClock(double rate_hz) : rate_hz_(rate_hz) {}

    // The block was complete at time_s; suspect: a sign of loss came with it. `known_lost` frames
    // are known to be missing before it and are part of what is returned.
    [[nodiscard]] FrameIndex block(double time_s, FrameIndex frames, bool suspect,
                                   FrameIndex known_lost = 0);
    // No device up to time_s: the frames that went by since the last call.
    [[nodiscard]] FrameIndex away_until(double time_s);

 private:
    [[nodiscard]] double lag_s(double time_s) const {
        return time_s - start_s_ - seconds_from_frames(counted_, rate_hz_);
    }
    FrameIndex lose(double seconds);
    FrameIndex end_window(double time_s);

    double rate_hz_;
    bool started_ = false;
    double start_s_ = 0.0;
    FrameIndex counted_ = 0;  // frames come and lost
    double usual_lag_s_ = 0.0;
    double window_start_s_ = 0.0;
    double least_lag_s_ = 0.0;  // in this window
};

}  // namespace skedlark::audio
