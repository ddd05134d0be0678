// The gain of the tone - level and phase in one - carried from mark to mark.
//
// Stage:   copy, inside. In: frames and how likely the key was down at each. Out: what a mark that
//          begins (ends) at a boundary may expect of its gain from what was heard before (after) it.
// Units:   frames; changes in 1/s.
// Shape:   boundaries as in KeyPosterior.
// Time:    follow() settles what lies before settled() and gives all boundaries up to now anew.
// Errors:  none.
// Threads: one thread per instance.
// Source:  gain_model.h, for several speeds of change at once; the one that foresaw the frames best
//          is taken (Anderson, Moore, Optimal Filtering, 1979, chapter 10: innovations choose the
//          model). A frame in which the key was down with share p weighs p.
// Checked: tests/dsp/copy/gain_tracker_test.cpp
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "dsp/copy/gain_model.h"
#include "dsp/copy/mark_evidence.h"

namespace skedlark::copy {

class GainTracker {
 public:
    // The last is a gain that no frame tells of the next.
    static constexpr std::array<double, 6> kChangesPerS = {0.15, kUsualChangesPerS, 2.0, 6.0, 30.0,
                                                           400.0};

    // Nothing known at boundary `at`.
    void begin(std::int64_t at);
    // key_down: of frames settled() .. settled() + size - 1, of which the first `settle` will not be
    // asked for again. mean_power: of marks, above 0.
    void follow(MarkEvidence& evidence, std::span<const float> key_down, std::int64_t settle,
                double mean_power);
    [[nodiscard]] std::int64_t settled() const { return settled_; }
    // By how much the gain turned, radians a frame: over the frames settled last, and over all since
    // begin(). 0 where it changes too fast to turn.
    [[nodiscard]] double turn_lately() const { return lately_.turn(); }
    [[nodiscard]] double turn_since_begin() const { return all_.turn(); }
    // The speed of change that foresees best.
    [[nodiscard]] double changes_per_s() const { return kChangesPerS[best_]; }

 private:
    struct Weighed {
        std::complex<double> z;
        double noise;  // 0: not heard, or in a gap
    };
    struct Follower {
        GainState state;        // at settled_
        double log_odds = 0.0;  // of late
    };
    void weigh(const MarkEvidence& evidence, std::span<const float> key_down);
    void forward(std::size_t model, std::int64_t settle, double mean_power);
    void backward(const GainModel& model);

    struct Turned {
        double across = 0.0, power = 0.0;
        [[nodiscard]] double turn() const { return power > 0.0 ? across / power : 0.0; }
    };
    void watch_turning(std::int64_t settle);

    std::int64_t settled_ = 0;
    bool begun_ = false;
    std::array<Follower, kChangesPerS.size()> followers_{};
    std::size_t best_ = 1;
    std::vector<float> down_;
    std::vector<Weighed> heard_;
    std::array<std::vector<GainState>, kChangesPerS.size()> before_;
    std::vector<GainMessage> after_;
    Turned lately_, all_;
};

}  // namespace skedlark::copy
