// One station as a dial in motion makes it heard: its pitch is its distance from the beat oscillator.
//
// Stage:   synth. In: how far the receiver is tuned, sample by sample. Out: audio of this station.
// Units:   hertz; amplitude 1.0 = full scale.
// Shape:   one sample a call, in order.
// Time:    phase goes on whatever the dial does; sending begins at the first sample.
// Errors:  none; settings are checked with the scene's (sweep_scene.h).
// Threads: one thread per instance; next() does not allocate.
// Source:  a product detector without image filter: above and below sound alike.
// Checked: tests/dsp/synth/heard_station_test.cpp, sweep_scene_test.cpp
#pragma once

#include <cstdint>
#include <vector>

#include "dsp/synth/programme.h"
#include "dsp/synth/station.h"
#include "dsp/synth/sweep_scene.h"

namespace skedlark::synth {

class HeardStation {
 public:
    HeardStation(const SweepStation& config, double amplitude, double sample_rate_hz,
                 const std::vector<Mark>& marks, std::uint64_t seed);

    double next(double tuned_hz);
    // True when the pitch has passed zero since the last call.
    bool crossed(double tuned_hz);
    // Sends these from now on, marks counted from now, and nothing else; the note's beat goes on.
    void send(const std::vector<Mark>& marks, std::uint64_t seed);

 private:
    SweepStation config_;
    double amplitude_;
    double rate_hz_;
    StationSignal signal_;
    Programme programme_;
    double phase_;
    double before_hz_ = 0.0;
    bool begun_ = false;
};

}  // namespace skedlark::synth
