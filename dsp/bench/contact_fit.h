// A tone of known pitch in a short piece of audio: amplitude, and what it leaves.
//
// Stage:   bench. In: a piece of mono audio, pitch over sample rate. Out: ToneFit; audio without the tone.
// Units:   amplitude 1.0 = full scale; powers are mean squares; pitch in cycles a sample.
// Shape:   a piece holds a cycle of the tone or more.
// Time:    none.
// Errors:  none.
// Threads: pure.
// Source:  least squares of sine and cosine (three-parameter fit of IEEE Std 1057, without its constant).
// Checked: tests/dsp/bench/contact_fit_test.cpp
#pragma once

#include <span>

namespace skedlark::bench {

struct ToneFit {
    double power = 0.0;  // of the piece
    double amplitude = 0.0;
    double rest_power = 0.0;  // unbiased: the fit's two degrees of freedom are counted
};

// Sums over a piece: of x^2, x cos, x sin, cos 2, sin 2 (cos 2 = the sum of cos at twice the phase).
struct ToneSums {
    double xx = 0.0, xc = 0.0, xs = 0.0, c2 = 0.0, s2 = 0.0;
};
struct Coefficients {
    double cosine = 0.0, sine = 0.0;
    double power_taken = 0.0;  // sum of squares the tone explains
};
[[nodiscard]] Coefficients solve_tone(const ToneSums& sums, double count);

[[nodiscard]] ToneFit fit_tone(std::span<const float> piece, double cycles_per_sample);
void take_out_tone(std::span<float> piece, double cycles_per_sample);

}  // namespace skedlark::bench
