// A close look along a station's track: keyed or steady, how strong, and where exactly it ran.
//
// Stage:   tone. In: audio of the sweep, the track, the noise beside it. Out: verdict.
// Units:   hertz, seconds; odds in nepers.
// Shape:   looks of kLookS; those below low_hz or above high_hz of pitch are left out.
// Time:    none.
// Errors:  none; too little heard gives "unknown".
// Threads: pure.
// Source:  the audio turned back by the track's phase, both arms; for each look the power in
//          kPitches places about the track. Hidden Markov chain over place and level, with the key
//          (marks and gaps of 60 ms and more, as likely) and without it: Rabiner, Proc. IEEE 77
//          (1989). A line in noise: exp(-a) I0(2 sqrt(a p)) times the chance of p from noise alone.
// Checked: tests/dsp/tone/glide_verdict_test.cpp
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <vector>

#include "dsp/tone/glide_track.h"

namespace skedlark::tone {

struct GlideVerdict {
    std::optional<bool> keyed;
    double log_odds_keyed = 0.0;  // against steady
    double snr_2500hz_db = 0.0;   // key down
    double share = 0.0;           // of the looks with the key down
    double evidence = 0.0;        // of the likelier of the two against noise alone, nepers
    std::vector<GlideMeasurement> measured;  // where the pitch really was
};

struct GlideAudio {
    std::span<const float> samples;
    double first_s = 0.0;  // time of the first sample
    double low_hz = 200.0;
    double high_hz = 3000.0;
    // Noise density at a time and pitch, full scale squared per hertz.
    std::function<double(double at_s, double pitch_hz)> noise_density;
};

[[nodiscard]] GlideVerdict judge_glide(const GlideAudio& audio, const GlideTrack& track);

}  // namespace skedlark::tone
