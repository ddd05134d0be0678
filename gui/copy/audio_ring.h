// The last ten minutes of audio, so that a stretch can be played and copied again.
//
// Stage:   gui/copy, no Qt. In: work-rate audio. Out: stretches of it.
// Units:   work-rate frames; kept as 16-bit, full scale 1.0 (9.6 MB).
// Shape:   any number of samples a call; the last `capacity` are kept. Lost audio is zeros.
// Time:    exact.
// Errors:  what is not kept is left out.
// Threads: one at a time; add() does not allocate.
// Source:  none
// Checked: tests/desk/copy/rings_test.cpp
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "dsp/core/units.h"
#include "gui/copy/row_ring.h"

namespace skedlark::gui {

class AudioRing {
 public:
    explicit AudioRing(FrameIndex capacity = frames_from_seconds(kKeptS));

    // Forgets everything; the next sample is that of first_frame.
    void start(FrameIndex first_frame);
    void add(std::span<const float> audio);
    [[nodiscard]] FrameIndex begin_frame() const { return begin_; }
    [[nodiscard]] FrameIndex end_frame() const { return end_; }
    // As much of from..to as is kept.
    [[nodiscard]] std::vector<float> stretch(FrameIndex from, FrameIndex to) const;

 private:
    std::vector<std::int16_t> ring_;
    FrameIndex begin_ = 0;
    FrameIndex end_ = 0;
};

}  // namespace skedlark::gui
