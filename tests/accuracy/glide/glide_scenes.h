// Sweeps past one or more stations, as varied as the study asks.
//
// Stage:   accuracy. In: what is asked, seed. Out: work-rate audio and the truth.
// Units:   in the names.
// Shape:   one scene.
// Time:    seconds from the scene's start.
// Errors:  the generator's.
// Threads: pure.
// Source:  none.
// Checked: by use
#pragma once

#include <string>
#include <vector>

#include "dsp/synth/sweep_scene.h"

namespace skedlark::accuracy {

enum class GlideKind { keyed, steady, speech, music };

struct GlideTask {
    GlideKind kind = GlideKind::keyed;
    double snr_2500hz_db = -16.0;
    double rate_hz_per_s = 1000.0;
    double wobble = 0.2;
};

// One station in the middle of enough audio for its whole V at any pace of the wobble.
[[nodiscard]] Result<synth::SweepScene> make_glide_scene(const GlideTask& task, std::uint64_t seed);

}  // namespace skedlark::accuracy
