// Real speech to be silent about: invented hut weather, read aloud by espeak-ng.
//
// Stage:   tests. Out: work-rate audio.
// Units:   1.0 = full scale.
// Shape:   at least the seconds asked for; voices, speed and pitch change from reading to reading.
// Errors:  not_found where espeak-ng cannot be started; what the file reader says.
// Threads: one call at a time a folder; each makes its own.
// Checked: tests/accuracy/speech_test.cpp
#pragma once

#include <cstdint>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/core/units.h"

namespace skedlark::accuracy {

[[nodiscard]] Result<std::vector<float>> speech(double seconds, std::uint64_t seed);

}  // namespace skedlark::accuracy
