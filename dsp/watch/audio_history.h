// The last minute of audio, so that a tone can be copied from before it was found.
//
// Stage:   watch. In: work-rate audio with its lost stretches. Out: the same again, forwards or
//          backwards.
// Units:   work-rate frames from the input's start.
// Shape:   any number of samples a call; keeps the last capacity_frames of them.
// Time:    exact.
// Errors:  none; what is no longer kept is left out.
// Threads: one thread per instance; add() does not allocate beyond the list of lost stretches.
// Source:  none
// Checked: tests/dsp/watch/audio_history_test.cpp
#pragma once

#include <deque>
#include <functional>
#include <span>
#include <vector>

#include "dsp/core/units.h"

namespace skedlark::watch {

class AudioHistory {
 public:
    // A run of audio that is all heard or all lost.
    using Visitor = std::function<void(std::span<const float> audio, bool lost)>;

    explicit AudioHistory(FrameIndex capacity_frames);

    void add(std::span<const float> audio, bool lost);
    [[nodiscard]] FrameIndex begin_frame() const;  // first one kept
    [[nodiscard]] FrameIndex end_frame() const { return end_; }

    // From from_frame (or the first one kept) to the end, in order.
    void forwards(FrameIndex from_frame, const Visitor& visit) const;
    // The same from the end back to from_frame; the samples of each run are reversed too.
    void backwards(FrameIndex from_frame, const Visitor& visit) const;

 private:
    struct Stretch {
        FrameIndex from = 0;
        FrameIndex to = 0;
    };
    struct Run {
        FrameIndex from = 0;
        FrameIndex to = 0;
        bool lost = false;
    };
    [[nodiscard]] std::vector<Run> runs_from(FrameIndex from_frame) const;

    std::vector<float> ring_;
    FrameIndex end_ = 0;
    std::deque<Stretch> lost_;
};

}  // namespace skedlark::watch
