// Everything one steady tone tells: pitch, level, SINAD, noise, distortion, clipping.
//
// Stage:   bench. In: audio with one steady tone. Out: ToneFigures, and the same as a Report.
// Units:   dBFS: 0 dBFS is a sine of peak 1.0; ratios in dB; distortion against the fundamental.
// Shape:   one call a recording; 10 s are needed for SINAD to 0.2 dB.
// Time:    the pitch is that in the middle of the recording.
// Errors:  those of tone_track.h, and audio clipped by the sound input.
// Threads: pure.
// Source:  SINAD = (S+N+D)/(N+D) as in TIA-603 (number from memory), the tone taken out by a notch of
//          stated width: its noise is filled in from beside it. What wanders inside of the notch
//          counts as the tone's; sinad_steady counts it as noise (sine fit of IEEE 1057 with drift).
//          THD: root sum square of harmonics 2 to kHighestHarmonic inside of the band over the
//          fundamental, the noise in each taken off. Uncertainties: means of batches for noise, the
//          bound of Cramer and Rao for the pitch, delta method for ratios.
// Checked: tests/dsp/bench/tone_figures_test.cpp, tests/accuracy/bench
#pragma once

#include <vector>

#include "dsp/bench/clipping.h"
#include "dsp/bench/report.h"
#include "dsp/bench/tone_track.h"

namespace skedlark::bench {

inline constexpr int kHighestHarmonic = 10;

struct Harmonic {
    int order = 2;
    Measurement to_tone_db{};
};

struct ToneFigures {
    ToneTrack track{};
    Clipping clipping{};
    Band band{};  // as measured: no wider than half the sample rate
    Figure pitch_hz{};
    Figure drift_hz_per_s{};
    Figure level_dbfs{};
    Figure sinad_db{};
    Figure sinad_steady_db{};
    Figure snr_db{};      // harmonics left out
    Figure noise_dbfs{};  // in the band, harmonics left out
    Figure wander_db{};   // power of the wander against the tone; only where wanders()
    std::vector<Harmonic> harmonics{};  // those inside of the band
    Measurement thd_percent{};
    Measurement thd_db{};
};

[[nodiscard]] Result<ToneFigures> measure_tone(std::span<const float> audio, double sample_rate_hz,
                                               const ToneTrackConfig& config = {});

[[nodiscard]] Report tone_report(const ToneFigures& figures, const ToneTrackConfig& config);

}  // namespace skedlark::bench
