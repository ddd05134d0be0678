// What lies about a moving tone, brought to zero frequency and to a low rate.
//
// Stage:   bench. In: audio and the phase to take out. Out: Baseband.
// Units:   a sine of peak A at the phase taken out has |sample| = A; noise of one-sided density N0 has
//          mean |sample|^2 / 2 = N0 a hertz of two-sided width.
// Shape:   one call a recording; sums in double.
// Time:    sample k stands at k * step frames of the audio; the first and last few lack some of their
//          surroundings (edge_samples).
// Errors:  none; half_width_hz above 0 and below sample_rate_hz / 8 is the caller's to keep.
// Threads: pure.
// Source:  mixing, low pass by a sinc under the Blackman window, decimation.
// Checked: tests/dsp/bench/baseband_test.cpp
#pragma once

#include <complex>
#include <span>
#include <vector>

#include "dsp/bench/sine_fit.h"

namespace skedlark::bench {

struct Baseband {
    std::vector<std::complex<double>> samples;
    double rate_hz = 0.0;
    std::size_t step = 1;  // frames of audio
    int edge_samples = 0;

    // Seconds from the middle of the audio it was made of.
    [[nodiscard]] double time_s(std::size_t k) const {
        return (static_cast<double>(k * step) - middle_frame) / sample_rate_hz;
    }
    double middle_frame = 0.0;
    double sample_rate_hz = 0.0;
};

// Flat to half_width_hz on each side; the phase is that of `fit` without phase_rad, so that phase_rad is
// left in the samples.
[[nodiscard]] Baseband to_baseband(std::span<const float> audio, double sample_rate_hz,
                                   const SineFit& fit, double half_width_hz);

}  // namespace skedlark::bench
