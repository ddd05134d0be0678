// A sine of unknown level and phase fitted to samples: of known frequency, of unknown frequency, or
// drifting evenly.
//
// Stage:   bench. In: audio. Out: SineFit.
// Units:   audio 1.0 = full scale; hertz, hertz a second, radians.
// Shape:   one call a recording of 3 periods and more; sums in double.
// Time:    phase and frequency are those in the middle of the samples, where frequency, phase and
//          drift are hardly correlated.
// Errors:  invalid_value: too short, a frequency outside 0 to sample_rate_hz / 2, or no convergence.
// Threads: pure.
// Source:  IEEE Std 1057, sine fits of three and four parameters (the fourth by iteration); the term
//          of the drift is added in the same way.
// Checked: tests/dsp/bench/sine_fit_test.cpp, against the bound of Cramer and Rao and closed forms.
#pragma once

#include <span>

#include "dsp/core/result.h"

namespace skedlark::bench {

struct SineFit {
    double amplitude = 0.0;  // peak
    double phase_rad = 0.0;  // amplitude * cos(phase + 2 pi (frequency t + drift t^2 / 2)) + offset
    double offset = 0.0;
    double frequency_hz = 0.0;
    double drift_hz_per_s = 0.0;
    double residual_rms = 0.0;
    int iterations = 0;
};

// Frequency and drift known: one solve.
[[nodiscard]] Result<SineFit> fit_sine_3(std::span<const float> audio, double sample_rate_hz,
                                         double frequency_hz, double drift_hz_per_s = 0.0);
// From a first guess within about half a period over the whole length.
[[nodiscard]] Result<SineFit> fit_sine_4(std::span<const float> audio, double sample_rate_hz,
                                         double guess_hz);
// Frequency and drift unknown.
[[nodiscard]] Result<SineFit> fit_sine_5(std::span<const float> audio, double sample_rate_hz,
                                         double guess_hz, double guess_hz_per_s = 0.0);

// Phase at a time from the middle of the samples.
[[nodiscard]] double phase_at(const SineFit& fit, double from_middle_s);

// Smallest standard deviation any unbiased estimate can have (Cramer and Rao), for a sine of this
// peak in white noise of this one-sided density (power a hertz), over this length.
// Source:  Rife and Boorstyn, IEEE Trans. Inf. Theory 20 (1974) 591-598; drift by the same sums.
[[nodiscard]] double least_frequency_sd_hz(double amplitude, double noise_per_hz, double length_s);
[[nodiscard]] double least_drift_sd_hz_per_s(double amplitude, double noise_per_hz,
                                             double length_s);

}  // namespace skedlark::bench
