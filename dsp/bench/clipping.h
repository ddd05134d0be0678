// Flat tops: samples that pile up at the highest or lowest value, as clipping leaves them.
//
// Stage:   bench. In: audio. Out: Clipping.
// Units:   shares of the samples, 0 to 1; levels in audio units.
// Shape:   one call a recording.
// Time:    none.
// Errors:  check_full_scale(): invalid_value with the share. Silence is not clipped.
// Threads: pure.
// Source:  a sine is within 1/1000 of its peak for arccos(0.999) / pi = 1.42 % of the time at each
//          side, with noise on it for less; clipping leaves more.
// Checked: tests/dsp/bench/clipping_test.cpp, shares of clipped sines in closed form.
#pragma once

#include <span>

#include "dsp/core/result.h"

namespace skedlark::bench {

struct Clipping {
    bool flat_tops = false;      // more samples at the extremes than any sine has
    bool at_full_scale = false;  // and these are at full scale: the sound input itself clips
    double share = 0.0;          // of samples at the clipped extremes
    double level = 0.0;          // audio units, where they lie
};

// Of a tone sampled so that few different values come up (1000 Hz at 8000 Hz), far more samples may lie
// at the peak; whoever knows the tone gives the share that it has without clipping.
inline constexpr double kPeakShareOfSine = 0.0142;
[[nodiscard]] Clipping find_clipping(std::span<const float> audio,
                                     double clean_share = kPeakShareOfSine);

// The sound input itself clips: over 0.02 % of the samples reach `full`. Audio that was brought to another
// rate has its flat tops rounded; kFullScaleResampled finds it still, and refuses what comes close.
inline constexpr double kFullScaleExact = 0.9999;
inline constexpr double kFullScaleResampled = 0.985;
[[nodiscard]] Status check_full_scale(std::span<const float> audio, double full = kFullScaleExact);

// Larger of the two sides' shares of samples near the extreme.
[[nodiscard]] double peak_share(std::span<const float> audio);

}  // namespace skedlark::bench
