// Which line of a recording is the tone, and what other lines there are.
//
// Stage:   bench, inside of tone_track.h. In: audio. Out: FoundTone.
// Units:   hertz; dB.
// Shape:   one call a recording of 1 s and more.
// Time:    none.
// Errors:  not_found: no tone; invalid_value: two tones.
// Threads: pure.
// Source:  a line stands out of its own neighbourhood by 10 dB and more; a peak of the receiver's
//          filter does not. Our own choice of figures.
// Checked: tests/dsp/bench/find_tone_test.cpp
#pragma once

#include "dsp/bench/tone_track.h"

namespace skedlark::bench {

struct FoundTone {
    double frequency_hz = 0.0;
    double bin_hz = 0.0;
    std::vector<OtherLine> others{};
};

[[nodiscard]] Result<FoundTone> find_tone(std::span<const float> audio, double sample_rate_hz,
                                          const ToneTrackConfig& config);

}  // namespace skedlark::bench
