// What a followed tone is handed on as: complex baseband frames of 5 ms.
//
// Stage:   tone. Out of the follower, into the text search.
// Units:   the tone's pitch is at 0 Hz; z is scaled so that a tone of peak amplitude A gives |z| =
//          A. noise_variance is E|noise part of z|^2 in the same scale, for this frame alone: it
//          rises in a crash of static, so that a frame weighs 1 / noise_variance.
// Shape:   kBasebandRateHz frames a second; the noise of neighbouring frames is uncorrelated.
// Time:    at_frame is the work-rate index of the frame's middle, filter delay taken off.
#pragma once

#include <cmath>
#include <complex>
#include <cstdint>

#include "dsp/core/units.h"

namespace skedlark::tone {

inline constexpr double kBasebandRateHz = 200.0;
inline constexpr int kWorkFramesPerBaseband = 40;  // kWorkRateHz / kBasebandRateHz

// The nearest number of baseband frames.
[[nodiscard]] inline std::int64_t frames_from_seconds(double seconds) {
    return static_cast<std::int64_t>(std::llround(seconds * kBasebandRateHz));
}

struct BasebandFrame {
    std::complex<float> z;
    float noise_variance = 1.0F;
    float pitch_hz = 0.0F;  // the pitch that was taken to 0 Hz here
    FrameIndex at_frame = 0;
    bool lost = false;  // no audio here (gap, own sending): carries no evidence either way

    // Whether it tells of a level: digital silence (a muted input, a source not yet running) is
    // neither the receiver's noise nor less than it.
    [[nodiscard]] bool has_level() const { return !lost && std::norm(z) > 0.0F; }
};

}  // namespace skedlark::tone
