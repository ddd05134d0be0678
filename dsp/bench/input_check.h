// What every measurement asks of its audio before it says a number.
//
// Stage:   bench. In: mono audio and its rate. Out: nothing, or the sentence that says what is wrong.
// Units:   audio 1.0 = full scale; seconds.
// Shape:   any length.
// Time:    none.
// Errors:  invalid_value (a rate or a length that cannot be used, samples that are no numbers, clipped),
//          not_found (silence).
// Threads: pure.
// Source:  none; the share of clipped samples is our own.
// Checked: tests/dsp/bench/input_check_test.cpp
#pragma once

#include <span>
#include <string>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::bench {

inline constexpr double kMinRateHz = 8000.0;
inline constexpr double kMaxRateHz = 192000.0;

// A stretch of the recording, as the person at the bench names it.
struct Stretch {
    double from_s = 0.0;
    double to_s = 0.0;  // above from_s
};

// Field, value, allowed range.
[[nodiscard]] Status within_range(const char* field, double value, double from, double to);
// Stretches in order, apart from each other, inside the recording of this length.
[[nodiscard]] Status check_stretches(const char* field, const std::vector<Stretch>& stretches,
                                     double length_s);

[[nodiscard]] Status check_rate(double sample_rate_hz);
// Rate, length, numbers, silence (below -100 dBFS peak).
[[nodiscard]] Status check_audio(std::span<const float> audio, double sample_rate_hz,
                                 double min_length_s);
// What lost audio means for the figures; lost_s above 0.
[[nodiscard]] std::string lost_words(double lost_s);
// Runs of equal samples at the extremes hold more than a thousandth of the audio.
[[nodiscard]] Status check_clipping(std::span<const float> audio);

}  // namespace skedlark::bench
