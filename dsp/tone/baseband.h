// Mixes one pitch to 0 Hz and low-passes it to 200 complex values a second.
//
// Stage:   tone. In: work-rate samples, one by one, with the pitch of each. Out: one value a frame.
// Units:   a tone of peak amplitude A at the pitch gives |z| = A.
// Shape:   root-raised-cosine low-pass, roll-off 0.5, over eight frames: white noise comes out
//          uncorrelated from frame to frame, flat to 50 Hz either side, gone beyond 150 Hz. Beside
//          a neighbour, a Hann window whose first zero lies where it is to be shut; what comes out
//          is then correlated, and its noise told as if it were not: right for sums in phase.
// Time:    value() is centred kBasebandHalfSpan samples before the last sample pushed.
// Errors:  none.
// Threads: one thread per instance; nothing here allocates after the constructor.
// Source:  Proakis, Digital Communications: the square-root raised-cosine pulse; Harris, Proc. IEEE
//          66 (1978): the Hann window, first zero at 2 over its length, side lobes from -31 dB down.
// Checked: tests/dsp/tone/baseband_test.cpp
#pragma once

#include <complex>
#include <vector>

#include "dsp/tone/frame.h"

namespace skedlark::tone {

inline constexpr int kBasebandHalfSpan = 4 * kWorkFramesPerBaseband;

// The weights of the low-pass at the work rate: 2 * kBasebandHalfSpan + 1 of them, sum 1.
[[nodiscard]] const std::vector<float>& baseband_weights();
// Noise bandwidth of the low-pass in complex baseband, both sides of 0 Hz, in hertz.
[[nodiscard]] double baseband_noise_hz();

class Baseband {
 public:
    Baseband();
    // The oscillator's phase runs on without a step when the pitch changes.
    void push(float sample, double pitch_hz) noexcept;
    [[nodiscard]] std::complex<float> value() const noexcept;
    // Shuts out what lies this far from the pitch and further, hertz; 50 and more. 0: as usual.
    void shut_from(double hz) noexcept;
    void reset() noexcept;

 private:
    std::vector<std::complex<float>>
        mixed_;                // each sample stored twice, so that a window is one run
    std::vector<float> shut_;  // weights beside a neighbour, empty: as usual
    double shut_from_hz_ = 0.0;
    int next_ = 0;
    double phase_turns_ = 0.0;
};

}  // namespace skedlark::tone
