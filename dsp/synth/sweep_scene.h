// Stations met while the dial is turned, and exactly when each was at zero beat.
//
// Stage:   synth. In: SweepSceneConfig. Out: mono audio and SweepTruth.
// Units:   audio 1.0 = full scale. Levels and SNR as in scene_config.h: of a station of level_db 0.
// Shape:   all at once.
// Time:    sample n is at n / sample_rate_hz.
// Errors:  invalid_value, naming field, value and allowed range.
// Threads: pure.
// Source:  a product detector without image filter: what is above and below the beat oscillator
//          sounds alike, so a station's pitch falls to zero beat and rises again. The intermediate
//          frequency's filter ends at 0.45 times the sample rate, so that nothing is folded back.
// Checked: tests/dsp/synth/sweep_scene_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/synth/programme.h"
#include "dsp/synth/scene_config.h"
#include "dsp/synth/truth.h"
#include "dsp/synth/turned_dial.h"

namespace skedlark::synth {

struct SweepStation {
    double at_hz = 0.0;     // above what the dial is tuned to at the start, -1e6 to 1e6
    StationConfig station;  // offset_hz stays 0; drift comes by the dial alone
    ProgrammeKind programme = ProgrammeKind::none;
    double depth = 1.0;  // modulation depth, 0 to 1
};

struct SweepSceneConfig {
    double sample_rate_hz = 8000.0;  // 8000 to 192000
    double seconds = 60.0;           // above 0, to 100000
    std::uint64_t seed = 1;
    double level_dbfs = -30.0;            // of level_db 0 at key-down, -120 to 0
    std::optional<double> snr_2500hz_db;  // -60 to 100; empty: no noise at all
    TurnedDialConfig dial{};
    std::vector<SweepStation> stations;
    NoiseConfig noise{};
    ReceiverConfig receiver{};
    double track_step_s = 0.1;  // 0.001 to 10; grid of the truth's dial
};

[[nodiscard]] Status check(const SweepSceneConfig& config);
// Of the noise over the whole band, so that a station of level_db 0 has the SNR told.
[[nodiscard]] double noise_rms(const SweepSceneConfig& config);

struct SweepStationTruth {
    StationTruth station;
    std::vector<double> zero_beats_s;
    std::vector<double> rates_hz_per_s;  // of the dial at each
};

struct SweepTruth {
    double track_step_s = 0.0;
    std::vector<double> tuned_hz;  // since the start
    std::vector<SweepStationTruth> stations;
};

struct SweepScene {
    std::vector<float> samples;
    SweepTruth truth;
};

// One JSON object, fields named as above.
[[nodiscard]] std::string to_json(const SweepTruth& truth, int indent = 1);

[[nodiscard]] Result<SweepScene> make_sweep_scene(const SweepSceneConfig& config);

}  // namespace skedlark::synth
