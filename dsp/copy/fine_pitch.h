// The small rest of a tone's pitch that its follower leaves, heard in how the phase of its marks turns.
//
// Stage:   copy, inside. In: baseband frames, and by how much the gain was seen to turn. Out: the
//          frames with that rest taken out.
// Units:   radians a frame.
// Shape:   one frame a call.
// Time:    learned from what was read, so it lags by that and by kSettleS; follows a slow change.
// Errors:  none.
// Threads: one thread per instance; nothing allocates.
// Source:  decision-directed carrier recovery, a loop of first order (Proakis, Digital
//          Communications, section 6.2.4, from memory).
// Checked: tests/dsp/copy/fine_pitch_test.cpp
#pragma once

#include <cstdint>

#include "dsp/tone/frame.h"

namespace skedlark::copy {

class FinePitch {
 public:
    void reset() { *this = FinePitch(); }
    [[nodiscard]] tone::BasebandFrame taken_out(tone::BasebandFrame frame);
    // What comes out was seen to turn by so much over the last so many frames.
    void learn(double turn_a_frame, std::int64_t frames);
    // The last so many frames that came out were turned back by so much more each, the first not.
    void add(double turn_a_frame, std::int64_t frames);
    [[nodiscard]] double turn_a_frame() const { return turn_; }

 private:
    double turn_ = 0.0, phase_ = 0.0;
};

}  // namespace skedlark::copy
