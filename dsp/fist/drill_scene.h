// The audio of a copying drill: a text at a level of practice, under chosen conditions.
//
// Stage:   fist. In: DrillConditions. Out: a scene for dsp/synth.
// Units:   words a minute; dB in 2500 Hz; dBFS; hertz.
// Shape:   none.
// Time:    the text begins after a second.
// Errors:  invalid_value naming the setting and its range, not_found for a name that is none.
// Threads: pure.
// Source:  none
// Checked: tests/dsp/fist/drill_scene_test.cpp
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "dsp/fist/practice_level.h"
#include "dsp/synth/scene_config.h"

namespace skedlark::fist {

inline constexpr double kDrillRateHz = 8000.0;

struct DrillConditions {
    Pace pace{12.0, 12.0};
    std::optional<double> snr_2500hz_db{};  // -30 to 60; empty: no noise
    std::string fading{};                   // of synth::named_channels(); "": none
    std::string hand = "machine";           // of synth::named_fists()
    std::optional<double> neighbour_hz{};   // -1000 to 1000 above the wanted tone; empty: nobody
    double neighbour_db = 0.0;              // -40 to 20, over the wanted one
    double pitch_hz = 700.0;                // 200 to 2000
    // Tone and noise together are about so loud whatever the SNR, so that nothing clips.
    double loudness_dbfs = -20.0;  // -80 to -6
};

[[nodiscard]] Result<synth::SceneConfig> drill_scene(const std::string& text,
                                                     const DrillConditions& conditions,
                                                     std::uint64_t seed);

}  // namespace skedlark::fist
