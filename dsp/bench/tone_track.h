// The one tone of a recording: where it is, how it moves, what lies in the notch about it.
//
// Stage:   bench. In: audio. Out: ToneTrack.
// Units:   audio 1.0 = full scale; hertz; levels in dB against the tone.
// Shape:   one call a recording of kLeastToneS and more, at most kMostFrames.
// Time:    from the middle of the recording.
// Errors:  a sentence each; not_found: no tone; invalid_value: two tones, at the edge of the band, keyed, too
//          short, moves too far.
// Threads: pure.
// Source:  the steady part is the five-parameter fit of sine_fit.h; what wanders about it inside of
//          the notch is kept as it is: a valve oscillator is no crystal, and its wander is no noise to
//          an ear. The width of the notch is part of every figure that depends on it.
// Checked: tests/dsp/bench/tone_track_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/bench/band.h"
#include "dsp/bench/baseband.h"

namespace skedlark::bench {

inline constexpr double kLeastToneS = 3.0;
inline constexpr double kLowestToneHz = 120.0;
inline constexpr double kMinNotchHz = 10.0;
inline constexpr double kMaxNotchHz = 50.0;

struct ToneTrackConfig {
    Band band{};
    std::optional<double> pitch_hz{};  // look within span_hz of it only
    double span_hz = 50.0;
    double notch_hz = 20.0;  // kMinNotchHz to kMaxNotchHz, full width
};

struct OtherLine {
    double frequency_hz = 0.0;
    double to_tone_db = 0.0;
};

struct ToneTrack {
    SineFit fit{};          // of an evenly drifting sine
    bool followed = false;  // it moves otherwise by more than the notch allows: followed in frames
    double furthest_hz = 0.0;         // from even drift
    double power = 0.0;               // inside the notch, noise taken off
    double wander_power = 0.0;        // part of it that is no evenly drifting sine; may be below 0
    double wander_sd = 0.0;           // standard deviation of wander_power where there is no wander
    double noise_density = 0.0;       // about the notch, power a hertz
    double notch_noise_hz = 0.0;      // width of noise that removed() takes away
    std::vector<OtherLine> others{};  // lines that are no harmonics, strongest first

    // The audio without what is inside of the notch.
    [[nodiscard]] std::vector<float> removed(std::span<const float> audio) const;
    // Phase of the tone as it truly went, at each sample; wander included where it is clear.
    [[nodiscard]] std::vector<double> phases(std::size_t frames) const;
    // Power of the tone, noise included, from frame to frame.
    [[nodiscard]] double power_between(std::size_t from, std::size_t to) const;
    // Clear of noise, and of what rounding makes.
    [[nodiscard]] bool wanders() const {
        return followed || (wander_power > 5.0 * wander_sd && wander_power > 1e-9 * power);
    }

    Baseband notch{};  // the tone with its wander, relative to the fit's phase
};

[[nodiscard]] Result<ToneTrack> track_tone(std::span<const float> audio, double sample_rate_hz,
                                           const ToneTrackConfig& config);

}  // namespace skedlark::bench
