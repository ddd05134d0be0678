// Scenes with no Morse in them: what a copier must not read text from.
//
// Stage:   synth. Out: SceneConfig for make_scene() or SceneStream.
// Units:   seconds; snr_2500hz_db of the carrier that is, or would be, there.
// Shape:   none.
// Time:    none.
// Errors:  none here; check() finds values out of range.
// Threads: pure.
// Source:  none. Speech is not made here.
// Checked: tests/dsp/synth/materials_test.cpp
#pragma once

#include "dsp/synth/scene_config.h"

namespace skedlark::synth {

[[nodiscard]] SceneConfig noise_only(double seconds, std::uint64_t seed);
// Noise with crashes_per_s crashes of 2 to 20 ms, 20 dB over it, their levels spread by 6 dB.
[[nodiscard]] SceneConfig static_only(double seconds, double crashes_per_s, std::uint64_t seed);
// Mains lines 20 dB over the unit tone, and little noise.
[[nodiscard]] SceneConfig hum_only(double seconds, double mains_hz, std::uint64_t seed);
[[nodiscard]] SceneConfig steady_carrier(double seconds, double snr_2500hz_db, std::uint64_t seed);
// A carrier whose pitch swings by warble_hz, warble_rate_hz times a second.
[[nodiscard]] SceneConfig warbling_carrier(double seconds, double snr_2500hz_db, double warble_hz,
                                           double warble_rate_hz, std::uint64_t seed);

}  // namespace skedlark::synth
