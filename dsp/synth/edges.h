// The rise and fall of the transmitter's output about each mark.
//
// Stage:   synth. In: marks. Out: amplitude, sample by sample, 1 at key-down.
// Units:   seconds; rise_s is the time from 10 to 90 % of the amplitude.
// Shape:   any block length, in order; equal for any split.
// Time:    the amplitude passes one half exactly at a mark's on_s and off_s (marks longer than the
//          rise).
// Errors:  none; settings are checked with the scene's.
// Threads: one thread per instance; fill() does not allocate.
// Source:  definition. raised_cosine: linear-phase shaping; exponential: a single RC; hard: one
//          sample.
// Checked: tests/dsp/synth/edges_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/synth/keyer.h"

namespace skedlark::synth {

enum class EdgeShape { raised_cosine, exponential, hard };

class KeyingEdges {
 public:
    KeyingEdges(const std::vector<Mark>& marks, EdgeShape shape, double rise_s,
                double sample_rate_hz);
    // Key held down for ever.
    [[nodiscard]] static KeyingEdges held_down(double sample_rate_hz);

    void fill(std::span<float> amplitude);

 private:
    struct Edge {
        double at_frame = 0.0;
        double step = 1.0;  // +1 down, -1 up
    };
    [[nodiscard]] double ramp(double frames_after) const;
    float next_linear();
    float next_exponential();

    std::vector<Edge> edges_;
    EdgeShape shape_;
    double reach_frames_;  // half length of a linear edge, time constant of an exponential one
    std::int64_t frame_ = 0;
    std::size_t first_open_ = 0;  // edges before it are over
    double settled_ = 0.0;        // sum of the steps of edges that are over
    double level_ = 0.0;          // exponential: amplitude at the last event or sample
};

}  // namespace skedlark::synth
