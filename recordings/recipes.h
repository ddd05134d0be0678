// How each demo recording is made.
//
// Out:     one recipe a recording, in order of its number.
// Units:   as in dsp/synth/scene_config.h. Receiving conditions are a line of
// dsp/synth/conditions.h. Errors:  scene_of() returns what the conditions or settings have wrong.
// Checked: tests/recordings/recordings_test.cpp
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "dsp/core/result.h"
#include "dsp/synth/scene_config.h"
#include "dsp/synth/sweep_scene.h"

namespace skedlark::recordings {

struct Recipe {
    std::string_view name;  // of the file, without .flac
    std::string_view about;
    double sample_rate_hz;
    double pitch_hz;
    double speed_wpm;
    std::string_view hand;  // of dsp/synth/fist.h
    double snr_2500hz_db;
    std::string_view conditions;
    std::string_view text;
    std::string_view answer = {};  // of a second station 60 Hz higher, a pause after the text
};

[[nodiscard]] std::span<const Recipe> recipes();
// index: place in recipes(); it is the seed as well, counted from 1.
[[nodiscard]] Result<synth::SceneConfig> scene_of(std::size_t index);
// The sweep: two divisions of band 2 of docs/examples/saddle-hut.toml, from 42 to 44 in 56 s.
inline constexpr std::string_view kSweepName = "17-sweep";
inline constexpr double kSweepFromDiv = 42.0;
inline constexpr double kSweepToDiv = 44.0;
inline constexpr std::size_t kSweepWanted = 1;  // among its stations: the weak one
[[nodiscard]] synth::SweepSceneConfig sweep_scene();
// A sample as 16-bit audio, full scale 32768, clipped.
[[nodiscard]] short sample_16bit(float value);

}  // namespace skedlark::recordings
