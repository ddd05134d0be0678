// Pitch, level and phase of one steady tone in a stretch of audio.
//
// Stage:   tone. In: audio that holds one tone all the way through. Out: its maximum-likelihood
//          pitch.
// Units:   hertz; amplitude is the peak, 1.0 = full scale; radians.
// Shape:   16 samples to 2^21; allocates.
// Time:    phase is that of a cosine at the middle of the stretch.
// Errors:  invalid_value for a length or range that cannot be.
// Threads: none kept; safe from any thread.
// Source:  maximum of the periodogram (Rife and Boorstyn, IEEE Trans. IT-20, 1974): coarse by a
//          padded transform, fine by Newton's method on the plain sum in double.
// Checked: tests/dsp/tone/measure_pitch_test.cpp, against the Cramer-Rao bound
#pragma once

#include <span>

#include "dsp/core/result.h"
#include "dsp/core/units.h"

namespace skedlark::tone {

struct PitchMeasurement {
    double pitch_hz = 0.0;
    double amplitude = 0.0;
    double phase_rad = 0.0;
};

// The strongest tone between low_hz and high_hz (0 to below half the rate).
[[nodiscard]] Result<PitchMeasurement> measure_pitch(std::span<const float> audio, double low_hz,
                                                     double high_hz,
                                                     double sample_rate_hz = kWorkRateHz);

}  // namespace skedlark::tone
