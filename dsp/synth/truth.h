// What exactly is in a scene.
//
// Stage:   synth. Out of make_scene(), beside the audio.
// Units:   seconds from the scene's start, hertz, dB.
// Shape:   tracks have one value each track_step_s, the first at 0.
// Time:    exact, before the receiver's filter (which delays by less than the inverse of its
//          width).
// Errors:  none.
// Threads: values.
// Source:  none.
// Checked: tests/dsp/synth/truth_test.cpp
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "dsp/synth/keyer.h"
#include "dsp/synth/noise.h"
#include "dsp/synth/note.h"

namespace skedlark::synth {

struct StationTruth {
    std::string
        text;  // all that was sent, procedure signals in brackets: the text to score against
    std::vector<KeyedCharacter> characters;
    std::vector<Mark> marks;      // as they went out
    std::vector<Mark> key_marks;  // as the key was closed; the same but for a faulty transmitter
    bool carrier = false;
    double speed_wpm = 0.0;
    double offset_hz = 0.0;
    double level_db = 0.0;
};

struct OwnTruth {
    double from_s = 0.0;
    double to_s = 0.0;
    std::string text;
};

struct Truth {
    double sample_rate_hz = 0.0;
    double seconds = 0.0;
    std::uint64_t seed = 0;
    double level_dbfs = 0.0;
    std::optional<double> snr_2500hz_db;
    double track_step_s = 0.0;
    std::vector<double> pitch_hz;  // of the wanted note, settled: without chirp, hum and warble
    std::vector<double> level_db;  // of the wanted tone over level_dbfs: what fading makes of it
    StationTruth wanted;
    std::vector<StationTruth> neighbours;
    std::vector<OwnTruth> own;
    std::vector<Knock> knocks;
    std::vector<Crash> crashes;
};

// Procedure signals in brackets, word gaps as blanks.
[[nodiscard]] std::string text_of(const std::vector<KeyedCharacter>& characters);

// One JSON object, fields named as above; crashes only by number and the first thousand.
[[nodiscard]] std::string to_json(const Truth& truth, int indent = 1);

}  // namespace skedlark::synth
