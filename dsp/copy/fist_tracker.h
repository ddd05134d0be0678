// Learns the lengths of this hand from what was read, and proposes hands for the search.
//
// Stage:   copy. In: sampled paths. Out: the five lengths with their spread; totals for the
//          summary.
// Units:   baseband frames inside, seconds in the summary; cv is standard deviation over mean.
// Time:    forgets over about kMemoryMarks marks, so that a changing hand is followed.
// Errors:  none.
// Threads: one thread per instance.
// Source:  mean and variance of log-lengths with a weak prior (common practice, no source).
// Checked: tests/dsp/copy/fist_tracker_test.cpp
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "dsp/copy/path_sampler.h"
#include "dsp/copy/timing_model.h"
#include "dsp/core/events.h"

namespace skedlark::copy {

class FistTracker {
 public:
    // Takes a first guess, for instance from the speed scan; what was learned before is dropped,
    // the totals stay.
    void start(const Timing& guess);
    void reset();
    // Learns from marks and gaps that end in (from, to]; every path weighs 1 / paths.size().
    void learn(const std::vector<SampledPath>& paths, double from, double to);

    // The same for a stretch that will be learned from again: memory starts anew from what is
    // believed now and the totals do not count it.
    void relearn(const std::vector<SampledPath>& paths, double from, double to);

    // The lengths believed now.
    [[nodiscard]] Timing timing() const;
    // Hands for the trellis: this one first, then slower, faster, looser ones, in case it changes.
    [[nodiscard]] std::vector<Timing> proposals() const;
    // Marks learned from since start().
    [[nodiscard]] double marks() const { return marks_; }
    // Over everything learned since reset().
    [[nodiscard]] TimingSummary totals() const;

 private:
    enum Kind { dot, dash, element_gap, character_gap, word_gap, kinds };
    struct Memory {
        double weight = 0.0, mean_log = 0.0, spread_log = 0.0;  // spread: weighted sum of squares
        void add(double log_length, double weight_now);
    };
    struct Total {
        double count = 0.0, sum = 0.0, squares = 0.0;
    };
    void add(Kind kind, std::int64_t frames, double weight);
    [[nodiscard]] Length believed(Kind kind) const;
    [[nodiscard]] double unit_frames() const;

    std::array<Length, kinds> guess_{};
    std::array<Memory, kinds> memory_{};
    std::array<Total, kinds> totals_{};
    double marks_ = 0.0;
};

}  // namespace skedlark::copy
