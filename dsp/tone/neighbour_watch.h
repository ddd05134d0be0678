// Whether another station sends so near the followed tone that the usual low-pass lets it through.
//
// Stage:   tone, inside. In: power over noise per cell (pitch_evidence.h), one row a step. Out: how far
//          away the low-pass must be shut.
// Units:   hertz; cells of kEvidenceCellHz; a step is kPitchStep work-rate samples.
// Shape:   one row a step; cells within kNeighbourReachHz of the pitch are read.
// Time:    known some seconds after it began to send, forgotten as slowly.
// Errors:  none.
// Threads: one thread per instance; step() does not allocate.
// Source:  running mean of the periodogram (Welch, IEEE Trans. Audio Electroacoustics 15, 1967);
//          constants tried on tuning seeds.
// Checked: tests/dsp/tone/neighbour_watch_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/tone/pitch_evidence.h"

namespace skedlark::tone {

inline constexpr double kNeighbourReachHz = 280.0;

class NeighbourWatch {
 public:
    NeighbourWatch() : mean_(kEvidenceCells, 1.0F) {}
    // ratio: the evidence of all cells; those around pitch_hz are read.
    void step(std::span<const float> ratio, double pitch_hz) noexcept;
    // What lies this far from the pitch and further, hertz, is to be shut out; 0: nothing is.
    [[nodiscard]] double shut_from_hz() const noexcept { return shut_from_hz_; }

 private:
    std::vector<float> mean_;  // of each cell
    double shut_from_hz_ = 0.0;
};

}  // namespace skedlark::tone
