// Levels of a tone at many pitches: what a response curve is drawn through.
//
// Stage:   bench. In: audio with a generator stepped or swept, or with noise alone. Out: ResponsePoints.
// Units:   offset_hz is the pitch, below 0 on the far side of zero beat; level in dB (0 dBFS less the
//          generator's level, or density of the noise).
// Shape:   stepped: one point a step of 0.2 s or more; swept: one each 0.1 s; noise: one each `smooth_hz`,
//          so filters narrower than ten times that are to be stepped.
// Time:    the first and last 40 ms of a step are left out.
// Errors:  of input_check.h; not_found, invalid_value (no tone or two tones in a step, a sweep too fast).
// Threads: pure.
// Source:  energy of the line in a Hann-windowed spectrum (Parseval), the noise beside it taken off; noise by
//          Welch, IEEE Trans. AU-15 (1967) 70-73.
// Checked: tests/dsp/bench/response_points_test.cpp
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "dsp/bench/figure.h"
#include "dsp/bench/input_check.h"

namespace skedlark::bench {

struct ResponsePoint {
    double offset_hz = 0.0;
    Figure level_db{};
    double over_noise_db = 0.0;

    double generator_hz = 0.0;  // as in its step
    double generator_db = 0.0;
};

enum class BeatSide { above, below };  // of zero beat

struct GeneratorStep {
    Stretch at{};
    double generator_db = 0.0;  // its level; only differences count
    BeatSide side = BeatSide::above;
    double generator_hz = 0.0;  // only to know steps of one frequency by; 0: not said
};

[[nodiscard]] Result<std::vector<ResponsePoint>> step_points(
    std::span<const float> audio, double sample_rate_hz, const std::vector<GeneratorStep>& steps);

// A generator swept evenly, once. Where the pitch falls to zero beat and rises again, the part before it
// stands on `first`; a sweep that only rises or falls stands there whole.
[[nodiscard]] Result<std::vector<ResponsePoint>> sweep_points(std::span<const float> audio,
                                                              double sample_rate_hz,
                                                              const Stretch& sweep, BeatSide first);

// Density of the noise, smoothed over `smooth_hz`: what stands for a response where the noise at the input is even.
[[nodiscard]] Result<std::vector<ResponsePoint>> noise_points(std::span<const float> audio,
                                                              double sample_rate_hz,
                                                              double smooth_hz = 60.0);

}  // namespace skedlark::bench
