// How much the marks that end at a boundary speak for themselves, at several levels of the tone.
//
// Stage:   copy, inside. In: CallFrame. Out: ratios of likelihoods, mark to noise alone.
// Units:   lengths in steps of so many frames; a level is the energy in a frame over the noise
//          density.
// Shape:   lane by lane one level, the last lane any of them; marks of 1 to longest_steps steps.
// Time:    a mark covers the steps before the boundary.
// Errors:  none.
// Threads: one thread per instance; nothing allocates after construction.
// Source:  known level and unknown phase: I0(2 a |S|) exp(-a^2 W) (Van Trees, Detection, Estimation
//          and Modulation Theory I, section 4.4). No mark counts below
//          kLeastLog, or at more than kMostLevel times the amplitude of its lane.
// Checked: tests/dsp/copy/call_marks_test.cpp
#pragma once

#include <array>
#include <span>
#include <vector>

#include "dsp/copy/call_frames.h"
#include "dsp/copy/call_lanes.h"

namespace skedlark::copy {

// Levels of the lanes, dB: from -26 to -11 dB SNR in 2500 Hz.
inline constexpr std::array<double, kCallLanes - 1> kFrameEnergiesDb = {-15.0, -12.5, -10.0, -7.5,
                                                                        -5.0,  -2.5,  0.0};
inline constexpr float kLeastLog = -40.0F;
inline constexpr float kMostLog = 158.0F;  // longer than any mark at the highest level
inline constexpr float kMostLevel = 1.25F;

class CallMarks {
 public:
    explicit CallMarks(int longest_steps);
    void reset();
    // The frames of one step.
    void append(std::span<const CallFrame> frames);
    // ratios()[length].
    [[nodiscard]] const std::vector<Lanes>& ratios() const { return ratios_; }

 private:
    void score();
    int longest_;
    std::vector<CallFrame> steps_;  // a ring
    std::size_t next_ = 0;
    std::vector<float> size_, weight_, root_;  // by length
    std::vector<Lanes> ratios_;
};

}  // namespace skedlark::copy
