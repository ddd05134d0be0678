// The pitch of a steady carrier over minutes to days: how it drifts from cold, wanders, jumps, and what the
// supply does to it.
//
// Stage:   bench. In: mono audio of one steady tone, in blocks. Out: the curve and what is read from it.
// Units:   hertz, seconds from the audio's start.
// Shape:   any number of samples a call, the same result for any split; at least 30 s; memory does not grow.
// Time:    one pitch a second (of the sound card's clock).
// Errors:  create(): invalid_value; finish(): not_found or invalid_value, with what was heard instead of one
//          tone.
// Threads: one thread per instance.
// Source:  pitch_second.h, pitch_curve.h, pitch_jumps.h, pitch_wander.h.
// Checked: tests/dsp/bench/drift_test.cpp; tests/accuracy/bench_events
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/bench/decimator.h"
#include "dsp/bench/drift_reading.h"
#include "dsp/bench/pitch_curve.h"
#include "dsp/bench/pitch_jumps.h"
#include "dsp/bench/pitch_wander.h"

namespace skedlark::bench {

struct DriftConfig {
    double sample_rate_hz = 48000.0;   // 8000 to 192000
    double low_hz = 100.0;             // where the tone is looked for, 20 to 3000
    double high_hz = 3000.0;           // low_hz + 100 to 3200
    double clock_error_ppm = 100.0;    // of the sound card, 95 %: 0 to 10000
    double within_hz = 100.0;          // wanted: the pitch stays within so much, 0.01 to 3000
    double for_s = 600.0;              // in every stretch of so long, 10 to 1e6
    double least_jump_hz = 0.5;        // 0.01 to 1000
    std::vector<SupplyMark> supply{};  // in order of time
    std::vector<PowerMark> power{};    // off and on again, in order of time
};

struct Drift {
    double length_s = 0.0;
    double measured_share = 0.0;
    Figure pitch_at_start_hz{};  // first and last minute
    Figure pitch_at_end_hz{};
    Figure total_drift_hz{};     // end less start
    double snr_2400hz_db = 0.0;  // mean of the measured seconds
    std::optional<Figure>
        settled_s{};  // from here on within_hz in every for_s; empty: not in this recording
    Figure most_in_stretch_hz{};  // greatest span of pitch in any for_s of the last half
    std::vector<PitchJump> jumps{};
    std::vector<Wander> wander{};
    std::vector<SupplyEffect> supply{};
    std::vector<Retrace> retraces{};
    std::vector<std::string> remarks{};
    PitchCurve curve{2};
};

class DriftMeter {
 public:
    [[nodiscard]] static Result<DriftMeter> create(const DriftConfig& config);
    void process(std::span<const float> audio);
    // What the person did while it runs, in order of time; looked at by finish().
    void mark(const SupplyMark& supply) { config_.supply.push_back(supply); }
    void mark(const PowerMark& power) { config_.power.push_back(power); }
    // Another wish than at create(), for finish().
    void settle_by(double within_hz, double for_s) {
        config_.within_hz = within_hz;
        config_.for_s = for_s;
    }
    [[nodiscard]] const PitchCurve& curve() const { return curve_; }  // so far
    // Of what was heard so far; may be asked again.
    [[nodiscard]] Result<Drift> finish();

 private:
    DriftMeter(const DriftConfig& config, Decimator decimator, PitchMeter meter);
    void take_second(std::span<const float> second);
    [[nodiscard]] Status what_is_wrong() const;
    [[nodiscard]] Figure with_clock(const Figure& pitch) const;

    DriftConfig config_;
    Decimator decimator_;
    PitchMeter meter_;
    PitchCurve curve_;
    PitchJumps jumps_;
    PitchWander wander_;
    std::vector<float> waiting_;
    bool spoilt_ = false;  // a sample of the second being filled is no number
    long seconds_ = 0, measured_ = 0, none_ = 0, edge_ = 0, rivalled_ = 0, spoilt_seconds_ = 0;
    long frames_ = 0, clipped_frames_ = 0;
    double snr_sum_ = 0.0;
    double other_hz_ = 0.0, edge_hz_ = 0.0;
};

}  // namespace skedlark::bench
