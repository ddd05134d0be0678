// A battery run down to its end: level and pitch against time until the set fails.
//
// Stage:   bench. In: mono audio of a steady tone over hours, in blocks. Out: when it fell so far, when it failed.
// Units:   seconds, dB against the first minutes, hertz.
// Shape:   any number of samples a call; at least two minutes; memory does not grow (pitch_curve.h).
// Time:    one measurement a second; failing is stated to a second.
// Errors:  of drift.h's kind: create(): invalid_value; finish(): invalid_value or not_found with what was heard.
// Threads: one thread per instance.
// Source:  pitch_second.h. Level: of the tone, so that hiss does not stand in for it.
// Checked: tests/dsp/bench/run_down_test.cpp
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "dsp/bench/decimator.h"
#include "dsp/bench/figure.h"
#include "dsp/bench/pitch_curve.h"

namespace skedlark::bench {

struct RunDownConfig {
    double sample_rate_hz = 48000.0;  // 8000 to 192000
    double low_hz = 100.0;            // where the tone is looked for
    double high_hz = 3000.0;
    double fallen_db = 6.0;  // 0.5 to 60: said when the level stays so far down
    double gone_s = 30.0;    // no tone for so long: the set has failed, 5 to 3600
};

struct RunDown {
    double length_s = 0.0;
    Figure first_level_dbfs{};  // of the first two minutes
    double first_pitch_hz = 0.0;
    std::optional<Figure> fallen_at_s{};  // from here on down by fallen_db
    std::optional<Figure> failed_at_s{};  // last heard; empty: it was there to the end
    double last_level_db = 0.0;           // before it failed, against the first
    double last_pitch_change_hz = 0.0;
    PitchCurve pitch{2};
    PitchCurve level{2};  // its "pitch" is the level in dBFS
};

class RunDownMeter {
 public:
    [[nodiscard]] static Result<RunDownMeter> create(const RunDownConfig& config);
    void process(std::span<const float> audio);
    // Another wish than at create(), for finish().
    void fallen_by(double db) { config_.fallen_db = db; }
    [[nodiscard]] const PitchCurve& level() const { return level_; }  // so far, dBFS
    // Of what was heard so far; may be asked again.
    [[nodiscard]] Result<RunDown> finish();

 private:
    RunDownMeter(const RunDownConfig& config, Decimator decimator, PitchMeter meter);
    void take_second(std::span<const float> second);

    RunDownConfig config_;
    Decimator decimator_;
    PitchMeter meter_;
    PitchCurve pitch_, level_;
    std::vector<float> waiting_;
    long seconds_ = 0, measured_ = 0, last_heard_ = -1;
};

}  // namespace skedlark::bench
