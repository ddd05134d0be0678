// The level around a moment, for signals that fade: what marks there would have, from the power in
// excess of the noise over a short window, marks and gaps together.
//
// Stage:   copy, inside. In: baseband frames, one by one. Out: an amplitude.
// Units:   amplitudes as in BasebandFrame.
// Shape:   the last kLocalFrames frames.
// Time:    stands for the middle of the window: half of kLocalFrames before the last frame pushed.
// Errors:  none.
// Threads: one thread per instance; push() does not allocate after the constructor.
// Source:  key closed 22 of the 50 units of PARIS, as in level_tracker.h; frames weighed by one
//          over their noise.
// Checked: tests/dsp/copy/local_level_test.cpp
#pragma once

#include <vector>

#include "dsp/tone/frame.h"

namespace skedlark::copy {

// 1.4 s: some words' worth of keying, and short beside fades of 1 Hz spread and less.
inline constexpr int kLocalFrames = 281;

class LocalLevel {
 public:
    LocalLevel();
    void push(const tone::BasebandFrame& frame);
    // Within kMostAwayDb of `usual`, the level over a longer time: a window may hold a pause only.
    [[nodiscard]] double amplitude(double usual) const;
    void reset();

 private:
    struct Weighed {
        double excess = 0.0;  // power over noise, noise taken off
        double weight = 0.0;  // one over the noise
    };
    std::vector<Weighed> ring_;
    std::size_t next_ = 0;
    Weighed sum_;
};

}  // namespace skedlark::copy
