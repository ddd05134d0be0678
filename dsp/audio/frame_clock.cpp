#include "dsp/audio/frame_clock.h"

#include <algorithm>
#include <limits>

namespace skedlark::audio {

FrameIndex FrameClock::lose(double seconds) {
    const FrameIndex lost = std::max<FrameIndex>(0, frames_from_seconds(seconds, rate_hz_));
    counted_ += lost;
    return lost;
}

FrameIndex FrameClock::block(double time_s, FrameIndex frames, bool suspect,
                             FrameIndex known_lost) {
    if (!started_) {
        started_ = true;
        start_s_ = time_s - seconds_from_frames(frames, rate_hz_);
        window_start_s_ = time_s;
        least_lag_s_ = std::numeric_limits<double>::infinity();
    }
    counted_ += frames + known_lost;
    FrameIndex lost = known_lost;
    const double excess_s = lag_s(time_s) - usual_lag_s_;
    if (suspect && excess_s > kFlaggedLossS) {
        lost += lose(excess_s);
        window_start_s_ = time_s;
        least_lag_s_ = std::numeric_limits<double>::infinity();
    }
    least_lag_s_ = std::min(least_lag_s_, lag_s(time_s));
    if (time_s - window_start_s_ >= kWindowS) lost += end_window(time_s);
    return lost;
}

FrameIndex FrameClock::end_window(double time_s) {
    const double excess_s = least_lag_s_ - usual_lag_s_;
    FrameIndex lost = 0;
    if (excess_s > kUnflaggedLossS) {
        lost = lose(excess_s);
    } else {
        // Down at once: the least lag is the true one. Up only as fast as clocks may differ.
        usual_lag_s_ += std::min(excess_s, kMaxDrift * (time_s - window_start_s_));
    }
    window_start_s_ = time_s;
    least_lag_s_ = std::numeric_limits<double>::infinity();
    return lost;
}

FrameIndex FrameClock::away_until(double time_s) {
    if (!started_) return 0;
    return lose(lag_s(time_s) - usual_lag_s_);
}

}  // namespace skedlark::audio
