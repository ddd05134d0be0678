// Microphonic ringing: what a valve gives when it is tapped.
//
// Stage:   bench. In: audio of the receiver without a signal, with taps a second or so apart. Out: for each tap
//          the ringing after it; frequency and decay over all of them.
// Units:   hertz; decay_s is the time in which the amplitude falls to 1/e; dB over the noise in the whole band.
// Shape:   2 s to 10 minutes; taps at least 0.3 s apart are told as taps of their own.
// Time:    seconds from the audio's start.
// Errors:  of input_check.h; not_found where nothing rises over the noise; invalid_value for a steady tone.
// Threads: pure.
// Source:  damped_fit.h, from kThumpS after the loudest moment on. Mean over taps weighted by their variances,
//          widened where they scatter more than that (Birge, Phys. Rev. 40 (1932) 207-227).
// Checked: tests/dsp/bench/ring_test.cpp; tests/accuracy/bench_events
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "dsp/bench/damped_fit.h"
#include "dsp/bench/figure.h"
#include "dsp/core/result.h"

namespace skedlark::bench {

struct RingConfig {
    double sample_rate_hz = 48000.0;  // 8000 to 192000
    double least_rise_db = 10.0;      // 6 to 60: a tap is what rises so far over the noise in 2 ms
    double thump_s = 0.004;           // 0.001 to 0.1: of the blow itself, left out
};

struct Tap {
    double at_s = 0.0;
    bool clipped = false;             // not measured then
    std::vector<DampedMode> modes{};  // most energy first; none: a thump that does not ring
    double over_noise_db = 0.0;       // of the main mode where the fit begins
    bool same = false;                // its main mode is that of most taps
};

struct Ring {
    double noise_dbfs = 0.0;
    std::vector<Tap> taps{};
    int ringing = 0;  // taps whose ringing is in the figures
    std::optional<Figure> frequency_hz{};
    std::optional<Figure> decay_s{};
    std::optional<Figure>
        over_noise_db{};  // mean of taps; its uncertainty is that of blows by hand
};

[[nodiscard]] Result<Ring> measure_ring(std::span<const float> audio, const RingConfig& config);

}  // namespace skedlark::bench
