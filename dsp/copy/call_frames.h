// Baseband frames made alike for the search for calls: noise of variance 1, no tone too strong.
//
// Stage:   copy, inside. In: baseband frames. Out: CallFrame, one each.
// Units:   amplitude 1 is the standard deviation of the noise in a frame, raised where the tone is
//          louder than kHighestFrameEnergy above it.
// Shape:   any number of frames; the same for any split.
// Time:    none is held back.
// Errors:  none; what is lost or no number weighs nothing.
// Threads: one thread per instance.
// Source:  none
// Checked: tests/dsp/copy/call_frames_test.cpp
#pragma once

#include <array>
#include <complex>

#include "dsp/tone/frame.h"

namespace skedlark::copy {

struct CallFrame {
    float re = 0.0F, im = 0.0F;  // times weight
    float weight = 0.0F;         // 1 where the noise is as usual, less in static
};

// Energy of a tone in a frame over the noise density, above which noise is raised with the tone: its
// edges, and what the filter leaves in gaps, would else be taken for marks. -11 dB SNR in 2500 Hz.
inline constexpr double kHighestFrameEnergy = 1.0;
// A frame louder than this is not the tone's doing: in power, of the highest level and of the noise.
inline constexpr double kLimitLevel = 2.5;
inline constexpr double kLimitNoise = 12.0;
inline constexpr double kNoiseFrames = 400.0;  // over so many the noise is averaged

class CallFrames {
 public:
    [[nodiscard]] CallFrame take(const tone::BasebandFrame& frame);

 private:
    void follow_level(std::complex<double> z);

    static constexpr std::size_t kMeanFrames = 12;  // a dot at 20 wpm
    double noise_ = 0.0;                            // slow mean of the variance; 0: none yet
    double level_ = 0.0;                            // power of the tone as lately heard
    std::array<std::complex<double>, kMeanFrames> last_{};  // a ring
    std::size_t at_ = 0;
};

}  // namespace skedlark::copy
