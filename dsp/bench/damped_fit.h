// Decaying sinusoids in a piece of audio: frequency, decay and amplitude of one to three of them.
//
// Stage:   bench. In: audio from the first moment of the ringing on. Out: modes with their deviations.
// Units:   hertz; decay rate in 1/s (amplitude e^(-rate t)); amplitude at the piece's first sample.
// Shape:   64 samples to a few thousand.
// Time:    0 is the piece's first sample.
// Errors:  none: no mode where none explains more than chance.
// Threads: pure.
// Source:  nonlinear least squares by Levenberg and Marquardt (Marquardt, J. SIAM 11 (1963) 431-441); how many
//          modes: each must lower the squares by more than its four parameters cost (Schwarz, Ann. Statist. 6
//          (1978) 461-464) and a margin. Deviations: the Cramer-Rao bound for noise of the density found
//          beside the mode in what is left.
// Checked: tests/dsp/bench/damped_fit_test.cpp, against the bound and by drawn noise
#pragma once

#include <span>
#include <vector>

namespace skedlark::bench {

struct DampedMode {
    double hz = 0.0, hz_sd = 0.0;
    double rate_per_s = 0.0, rate_sd_per_s = 0.0;
    double amplitude = 0.0, amplitude_sd = 0.0;

    // Of the whole ringing, to compare modes by.
    [[nodiscard]] double energy() const {
        return rate_per_s > 0.0 ? 0.25 * amplitude * amplitude / rate_per_s : 0.0;
    }
};

inline constexpr int kMaxModes = 3;
// Most energy first.
[[nodiscard]] std::vector<DampedMode> fit_damped(std::span<const float> audio,
                                                 double sample_rate_hz);

}  // namespace skedlark::bench
