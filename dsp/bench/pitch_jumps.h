// Jumps of a pitch: steps within a second or two that neither drift nor wander explains.
//
// Stage:   bench. In: one measured second after the other. Out: jumps with time and size.
// Units:   seconds, hertz.
// Shape:   looks at eight seconds to each side.
// Time:    told eight seconds later; the place is good to a second.
// Errors:  none.
// Threads: one thread per instance; add() does not allocate but for the list of jumps (at most kMaxJumps).
// Source:  least squares of a line with a step; the step must pass six of its standard deviations, by what
//          the fit leaves, and across its place the pitch must change by fourteen times what it usually does
//          from one second to the next.
// Checked: tests/dsp/bench/pitch_jumps_test.cpp
#pragma once

#include <array>
#include <vector>

#include "dsp/bench/figure.h"
#include "dsp/bench/pitch_second.h"

namespace skedlark::bench {

struct PitchJump {
    double at_s = 0.0;
    Figure step_hz{};
};

class PitchJumps {
 public:
    static constexpr std::size_t kMaxJumps = 10000;
    explicit PitchJumps(double least_hz) : least_hz_(least_hz) {}

    // measured: false where that second had no tone.
    void add(bool measured, const PitchSecond& second);
    [[nodiscard]] const std::vector<PitchJump>& jumps() const { return jumps_; }

 private:
    static constexpr int kSide = 8;
    static constexpr int kSpan = 2 * kSide + 1;
    struct Slot {
        bool measured = false;
        double hz = 0.0;
        double sd_hz = 0.0;
    };
    struct Candidate {
        bool there = false;
        double at_s = 0.0;
        Figure step{};
        double sharpness = 0.0;
    };
    [[nodiscard]] Candidate judge() const;
    [[nodiscard]] const Slot& slot(int place) const {
        return ring_[static_cast<std::size_t>((next_ + place) % kSpan)];
    }
    [[nodiscard]] double usual_change() const;

    double least_hz_;
    std::array<Slot, kSpan> ring_{};
    int next_ = 0;
    long count_ = 0;
    Candidate best_{};
    int since_best_ = 0;
    std::vector<PitchJump> jumps_;
};

}  // namespace skedlark::bench
