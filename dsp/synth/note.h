// The transmitter's note and the receiver's beat: what moves the pitch.
//
// Stage:   synth. TransmitterNote gives one station's phase and hum; ReceiverBeat the phase that
//          every station's note gets from the receiver's oscillators.
// Units:   hertz, seconds, radians.
// Shape:   one value a sample, in order.
// Time:    sample n is at n / sample_rate_hz.
// Errors:  none; settings are checked with the scene's.
// Threads: one thread per instance; next() does not allocate.
// Source:  definitions below.
// Checked: tests/dsp/synth/note_test.cpp
#pragma once

#include <vector>

#include "dsp/synth/keyer.h"
#include "dsp/synth/random.h"

namespace skedlark::synth {

struct NoteConfig {
    // Pitch is pulled by this much at each key-down and settles exponentially. Either sign.
    double chirp_hz = 0.0;         // -500 to 500
    double chirp_settle_s = 0.05;  // time constant, 0.001 to 10
    // Hum on the note, from raw alternating current: amplitude (1 - d) + d |sin(pi hum_hz t)|, its
    // mean power brought back to 1, and frequency modulation of the given peak deviation.
    double hum_depth = 0.0;       // 0 to 1; 1 is full hum
    double hum_fm_hz = 0.0;       // 0 to 200
    double hum_hz = 100.0;        // 20 to 400: twice the mains frequency
    double warble_hz = 0.0;       // slow sinusoidal swing of the pitch, peak, 0 to 500
    double warble_rate_hz = 1.0;  // 0.01 to 50
};

class TransmitterNote {
 public:
    // offset_hz: pitch of the settled note above the wanted one's.
    TransmitterNote(const NoteConfig& config, double offset_hz, const std::vector<Mark>& marks,
                    double sample_rate_hz, std::uint64_t seed);
    struct Sample {
        double phase = 0.0;  // of the note at this sample, unwrapped
        double hum = 1.0;    // factor on the amplitude
    };
    Sample next();

 private:
    [[nodiscard]] double chirp_at(double now_s);

    NoteConfig config_;
    double offset_hz_;
    double period_s_;
    std::vector<double> key_downs_s_;
    std::size_t next_key_down_ = 0;
    double phase_;
    double hum_scale_ = 1.0;
    std::int64_t frame_ = 0;
};

struct Knock {
    double at_s = 0.0;      // 0 or above
    double hz = 0.0;        // jump of the pitch, -2000 to 2000
    double settle_s = 0.0;  // 0: the jump stays; else it dies away with this time constant
};

struct BeatConfig {
    double pitch_hz = 700.0;        // at the start; above 0, below half the sample rate
    double drift_hz_per_s = 0.0;    // -100 to 100
    double drift_span_hz = 0.0;     // 0: drifts on; else turns round this far from the start
    double wander_hz = 0.0;         // standard deviation of one random step, 0 to 100
    double wander_step_s = 2.0;     // 0.01 to 1000; straight lines between steps
    double wander_limit_hz = 60.0;  // steps are turned back here, 1 to 5000
    std::vector<Knock> knocks;      // in order of time
};

class ReceiverBeat {
 public:
    ReceiverBeat(const BeatConfig& config, double sample_rate_hz, std::uint64_t seed);
    double next();  // phase of the wanted station's settled note at this sample
    [[nodiscard]] double pitch_hz() const { return pitch_hz_; }  // at the last sample given

 private:
    [[nodiscard]] double drifted_hz(double now_s) const;
    [[nodiscard]] double wandered_hz(double now_s);
    [[nodiscard]] double knocked_hz(double now_s);

    BeatConfig config_;
    Random random_;
    double period_s_;
    double phase_;
    double pitch_hz_ = 0.0;
    double wander_from_hz_ = 0.0;
    double wander_to_hz_ = 0.0;
    double wander_node_s_ = 0.0;
    std::size_t knocks_past_ = 0;
    std::int64_t frame_ = 0;
};

}  // namespace skedlark::synth
