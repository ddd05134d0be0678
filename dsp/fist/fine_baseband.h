// One followed tone at 0 Hz, a complex value each millisecond: fine enough for edges of keying.
//
// Stage:   fist. In: work-rate audio and the follower's frames. Out: FineBaseband.
// Units:   a tone of peak amplitude A at the pitch gives |z| = A; seconds from the audio's start.
// Shape:   as many values as whole milliseconds of audio; low-pass of 220 Hz to each side (-6 dB).
// Time:    z[k] is centred on k / kFineRateHz, filter delay taken off.
// Errors:  follow_tone() passes on those of the follower; the rest cannot fail.
// Threads: pure.
// Source:  windowed sinc (Blackman), textbook.
// Checked: tests/dsp/fist/fine_baseband_test.cpp
#pragma once

#include <complex>
#include <span>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/core/units.h"
#include "dsp/tone/follower.h"
#include "dsp/tone/frame.h"

namespace skedlark::fist {

inline constexpr double kFineRateHz = 1000.0;
inline constexpr int kWorkFramesPerFine = 8;

struct FineBaseband {
    std::vector<std::complex<float>> z;
    std::vector<float> noise_variance;  // E|noise part of z|^2, as the follower knows it
    std::vector<char> lost;             // 1: no audio here
    std::vector<float> pitch_hz;        // that was taken to 0 Hz

    [[nodiscard]] int size() const { return static_cast<int>(z.size()); }
    [[nodiscard]] double seconds() const { return static_cast<double>(z.size()) / kFineRateHz; }
};

// Noise bandwidth of the low-pass in complex baseband, both sides of 0 Hz, in hertz.
[[nodiscard]] double fine_noise_hz();

// A stretch of the audio that was not heard, in work-rate frames.
struct LostStretch {
    FrameIndex from = 0;
    FrameIndex to = 0;
};

// A follower that has settled on the tone, run backwards over the first seconds, and goes on from
// start_frame, the first sample of the audio.
[[nodiscard]] Result<tone::Follower> settled_follower(std::span<const float> audio, double pitch_hz,
                                                      FrameIndex start_frame = 0);
// Frames that were given out before a jump of the pitch was known, put in place of the old ones.
void replace_revised(std::vector<tone::BasebandFrame>& frames,
                     std::span<const tone::BasebandFrame> revised);
// Follows a tone through a whole recording, settled on its first seconds before it begins.
[[nodiscard]] Result<std::vector<tone::BasebandFrame>> follow_tone(
    std::span<const float> audio, double pitch_hz, std::span<const LostStretch> lost = {});

// track: frames of the whole recording in order of time, at least one.
[[nodiscard]] FineBaseband bring_down(std::span<const float> audio,
                                      std::span<const tone::BasebandFrame> track);

}  // namespace skedlark::fist
