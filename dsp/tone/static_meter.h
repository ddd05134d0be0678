// How much louder than usual the noise is right now: the short-time factor of static crashes.
//
// Stage:   tone. In: 8 ms of audio every 2.5 ms. Out: noise power over its long-term level, 1 in
//          quiet.
// Units:   a plain power ratio, never below 1.
// Shape:   one value for each call.
// Time:    the value holds for the middle of the samples given; they weigh as Hann squared.
// Errors:  create() passes on invalid_value; factor() cannot fail.
// Threads: one thread per instance; factor() does not allocate.
// Source:  mean of exponential cells from their lowest three quarters (Epstein and Sobel, J. Amer.
//          Stat. Assoc. 48, 1953), so that tones do not count; then the posterior mean between
//          "nothing special" and a crash of any strength, so that plain noise gives 1 with little
//          jitter.
// Checked: tests/dsp/tone/static_meter_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/spectrum/noise_floor.h"
#include "dsp/spectrum/real_fft.h"

namespace skedlark::tone {

inline constexpr int kStaticSpan = 64;  // samples looked at
inline constexpr int kStaticHop = 20;   // samples from one look to the next

class StaticMeter {
 public:
    [[nodiscard]] static Result<StaticMeter> create();
    // samples: kStaticSpan of them. Cells near pitch_hz are left out: the wanted tone is no static.
    // Below 0: no pitch is known, and what any strong tone leaks into other cells is no static.
    float factor(std::span<const float> samples, double pitch_hz) noexcept;
    void reset() noexcept;

 private:
    StaticMeter(spectrum::RealFft fft, spectrum::NoiseFloor floor);
    void choose_cells(double pitch_hz) noexcept;
    void find_leakage() noexcept;

    spectrum::RealFft fft_;
    spectrum::NoiseFloor floor_;
    std::vector<float> window_;
    std::vector<float> power_;
    std::vector<float> leakage_;
    std::vector<float> ratios_;
    std::vector<int> cells_;
    double chosen_pitch_hz_ = -1.0;
    int calls_ = 0;
};

}  // namespace skedlark::tone
