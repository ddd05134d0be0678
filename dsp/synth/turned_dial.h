// A dial turned by hand: how far the receiver has been tuned since the start.
//
// Stage:   synth. Out: the receiver's frequency against its start, and how fast it moves.
// Units:   hertz, seconds.
// Shape:   one value a sample, in order.
// Time:    sample n is at n / sample_rate_hz. Before from_s and after to_s the dial rests.
// Errors:  none; settings are checked with the scene's (sweep_scene.h).
// Threads: one thread per instance; next() does not allocate.
// Source:  none: a hand keeps a pace only roughly, slower and quicker in turn.
// Checked: tests/dsp/synth/turned_dial_test.cpp
#pragma once

#include "dsp/synth/random.h"

namespace skedlark::synth {

struct TurnedDialConfig {
    double rate_hz_per_s = 1000.0;  // mean pace, either sign, 0 to 20000
    // The pace swings between (1 - wobble) and (1 + wobble) times its mean: values drawn evenly in
    // between every wobble_step_s, joined smoothly.
    double wobble = 0.0;         // 0 to 0.9
    double wobble_step_s = 0.7;  // 0.05 to 100
    double from_s = 0.0;         // 0 or above
    double to_s = 1e6;           // from_s or later
};

class TurnedDial {
 public:
    TurnedDial(const TurnedDialConfig& config, double sample_rate_hz, std::uint64_t seed);
    double next();  // hertz tuned since the start, at this sample
    [[nodiscard]] double rate_hz_per_s() const { return rate_hz_per_s_; }  // at the last sample

 private:
    [[nodiscard]] double pace_at(double now_s);

    TurnedDialConfig config_;
    Random random_;
    double period_s_;
    double tuned_hz_ = 0.0;
    double rate_hz_per_s_ = 0.0;
    double node_s_ = 0.0;  // where the swing arrives at to_
    double from_ = 0.0;
    double to_ = 0.0;
    std::int64_t frame_ = 0;
};

}  // namespace skedlark::synth
