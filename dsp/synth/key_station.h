// What one station sends: its texts keyed by its hand.
//
// Stage:   synth. In: StationConfig. Out: StationTruth with every mark and character.
// Units:   seconds from the scene's start.
// Shape:   all at once.
// Time:    a station that keeps sending ends before until_s.
// Errors:  a character outside the code, as keyer.h says.
// Threads: pure.
// Source:  none.
// Checked: tests/dsp/synth/scene_test.cpp
#pragma once

#include <cstdint>

#include "dsp/core/result.h"
#include "dsp/synth/scene_config.h"
#include "dsp/synth/truth.h"

namespace skedlark::synth {

[[nodiscard]] Result<StationTruth> key_station(const StationConfig& config, double until_s,
                                               std::uint64_t seed);

}  // namespace skedlark::synth
