// Notices that a tone has jumped: someone knocked the set in mid-message.
//
// Stage:   tone. In: power over noise per cell, the followed pitch and whether it is heard. Out: a
//          jump.
// Units:   hertz; steps of kPitchStep samples.
// Shape:   one row a step.
// Time:    a jump is told about a second after it happened; lost_steps_ago says when.
// Errors:  none.
// Threads: one thread per instance; step() does not allocate.
// Source:  likelihood ratio between "still here, pausing" and "gone there": the old place must have
//          fallen silent, a new one must have come up as it did and about as loud, and nothing may
//          have stood there before. A neighbour that was heard together with the tone is never
//          taken for it.
// Checked: tests/dsp/tone/jump_watch_test.cpp, tests/dsp/tone/follower_test.cpp
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "dsp/tone/pitch_grid.h"

namespace skedlark::tone {

struct Jump {
    double to_hz = 0.0;
    int lost_steps_ago = 0;  // steps since the tone was last heard at the old pitch
};

class JumpWatch {
 public:
    explicit JumpWatch(double reach_hz);
    [[nodiscard]] std::optional<Jump> step(std::span<const float> ratio, double pitch_hz) noexcept;
    void reset() noexcept;

 private:
    [[nodiscard]] std::optional<Jump> judge(double pitch_hz) noexcept;

    int reach_cells_;
    // By absolute cell: recent mean ratio, and how much was heard there beside the tone.
    std::vector<float> recent_, beside_;
    double typical_ = 0.0;  // mean ratio of rows in which the tone is heard
    int heard_rows_ = 0;
    int silent_steps_ = 0;
};

}  // namespace skedlark::tone
