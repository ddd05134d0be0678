// A recording cut to a band of audio with hard edges, and the spectrum of one.
//
// Stage:   bench. In: audio. Out: BandAudio, Periodogram.
// Units:   audio 1.0 = full scale; densities in power a hertz, one-sided: white noise of variance v at
//          rate f has 2 v / f.
// Shape:   one call a recording of at most kMostFrames.
// Time:    the ends are faded in and out over kFadeShare of the length, so that lines do not spill
//          over the edges of the band; `from` to `to` is what was left whole.
// Errors:  invalid_value: too few samples or too many.
// Threads: pure.
// Source:  periodogram under the Hann window; median of exponential values over ln 2 as their mean,
//          so that lines among them do not count.
// Checked: tests/dsp/bench/band_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::bench {

inline constexpr std::size_t kMostFrames = 1U << 22U;
inline constexpr double kFadeShare = 0.03;

struct Band {
    double low_hz = 50.0;
    double high_hz = 5000.0;
    [[nodiscard]] double width_hz() const { return high_hz - low_hz; }
    [[nodiscard]] bool holds(double hz) const { return hz >= low_hz && hz <= high_hz; }
};

struct BandAudio {
    std::vector<float> audio;
    std::size_t from = 0;
    std::size_t to = 0;
};
[[nodiscard]] Result<BandAudio> cut_to_band(std::span<const float> audio, double sample_rate_hz,
                                            const Band& band);

struct Periodogram {
    std::vector<double> density;  // by bin, power a hertz; a line is spread over three bins
    double bin_hz = 1.0;
    // Of the noise from ... to, lines left out; 0 where no bin lies there.
    [[nodiscard]] double noise_density(double from_hz, double to_hz) const;
};
[[nodiscard]] Result<Periodogram> periodogram(std::span<const float> audio, double sample_rate_hz);
// Mean over frames of about frame_s, half overlapped.
[[nodiscard]] Result<Periodogram> mean_periodogram(std::span<const float> audio,
                                                   double sample_rate_hz, double frame_s);

}  // namespace skedlark::bench
