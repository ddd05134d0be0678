// Everything a scene is made of.
//
// Stage:   synth. In: these settings. Out of make_scene(): audio and its truth (scene.h).
// Units:   in the names; ranges beside each setting. An SNR is key-down tone power A^2/2 over noise
//          power in 2500 Hz of the density at the pitch, before the receiver's filter, which shapes
//          signal and noise alike. With fading it is the mean.
// Shape:   none.
// Time:    seconds from the scene's start.
// Errors:  check() returns invalid_value naming field, value and allowed range.
// Threads: values.
// Source:  none.
// Checked: tests/dsp/synth/scene_config_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/synth/channel.h"
#include "dsp/synth/edges.h"
#include "dsp/synth/noise.h"
#include "dsp/synth/note.h"
#include "dsp/synth/receiver.h"
#include "dsp/synth/transmitter.h"

namespace skedlark::synth {

struct Transmission {
    double at_s = 1.0;  // first mark here, or a word gap after the one before if that is later
    std::string text;   // inside the code; procedure signals in brackets, "[AR]"
};

struct StationConfig {
    std::vector<Transmission> transmissions;  // in order of time; none: silent
    // Goes on with random code groups to the end (wanted: less tail_s). The wanted station can do
    // so only in a scene of given length.
    bool keep_sending = false;
    bool carrier = false;      // key down all the time; then no transmissions
    double speed_wpm = 20.0;   // 4 to 60
    double overall_wpm = 0.0;  // 0, or 2 to speed_wpm: stretched spacing
    Fist fist{};
    TransmitterConfig transmitter{};  // faults of key and transmitter
    EdgeShape edges = EdgeShape::raised_cosine;
    double rise_s = 0.005;  // 0 to 0.1; 10 to 90 %
    NoteConfig note{};
    ChannelConfig channel{};
    // Neighbours only, against the wanted station; 0 for the wanted one.
    double offset_hz = 0.0;  // -4000 to 4000
    double level_db = 0.0;   // -80 to 80
};

struct SceneConfig {
    double sample_rate_hz = 8000.0;  // 8000 to 192000
    double seconds = 0.0;  // 0: as long as the wanted and own texts and tail_s; else to 100000
    double tail_s = 1.0;   // 0 to 100
    std::uint64_t seed = 1;
    double level_dbfs =
        -30.0;  // wanted tone at key-down, -120 to 0; noise and neighbours follow it
    std::optional<double> snr_2500hz_db;  // -60 to 100; empty: no noise at all
    BeatConfig beat{};                    // pitch and what moves it
    StationConfig wanted{};
    std::vector<StationConfig> neighbours;
    NoiseConfig noise{};
    ReceiverConfig receiver{};
    double track_step_s = 0.1;  // 0.001 to 10; grid of the truth's pitch and level
};

[[nodiscard]] Status check(const SceneConfig& config);

// A scene of one text from 1 s on; settings not named stay as above.
[[nodiscard]] SceneConfig one_text(std::string text, double speed_wpm, const Fist& fist,
                                   std::optional<double> snr_2500hz_db, std::uint64_t seed);

}  // namespace skedlark::synth
