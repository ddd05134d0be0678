// What there is to hear where nothing is to be copied: shared by the studies of what is invented.
//
// Stage:   tests.
// Units:   dB; SNR in 2500 Hz.
// Shape:   each sets what differs from plain noise.
// Errors:  none.
// Threads: any.
#pragma once

#include <cstdint>

#include "dsp/synth/scene.h"
#include "tests/support/seed.h"

namespace skedlark::accuracy {

struct NothingKind {
    const char* name;
    void (*set)(synth::SceneConfig& scene, synth::Random& random);
};

inline void plain_noise(synth::SceneConfig&, synth::Random&) {}
// Crashes as in the copying rows, and swings of the noise itself as of summer static at 3.5 MHz.
inline void crackle(synth::SceneConfig& scene, synth::Random& random) {
    scene.noise.crashes_per_s = random.uniform(1.0, 10.0);
    scene.noise.crash_level_db = random.uniform(10.0, 30.0);
    scene.noise.crash_spread_db = 6.0;
    scene.noise.vd_db = 5.5;
}
inline void steady_carrier(synth::SceneConfig& scene, synth::Random& random, double weakest_db,
                           double strongest_db) {
    scene.wanted.carrier = true;
    scene.snr_2500hz_db = random.uniform(weakest_db, strongest_db);
    scene.beat.wander_hz = 1.0;
}

// Plain noise at a pitch of its own, before a kind is set; draws the pitch first.
inline synth::SceneConfig nothing_scene(double seconds, std::uint64_t seed, synth::Random& random) {
    synth::SceneConfig scene;
    scene.seconds = seconds;
    scene.seed = seed;
    scene.snr_2500hz_db = 0.0;
    scene.beat.pitch_hz = random.uniform(450.0, 950.0);
    return scene;
}

}  // namespace skedlark::accuracy
