#include "dsp/synth/materials.h"

namespace skedlark::synth {
namespace {

SceneConfig empty_scene(double seconds, double snr_2500hz_db, std::uint64_t seed) {
    SceneConfig config;
    config.seconds = seconds;
    config.seed = seed;
    config.snr_2500hz_db = snr_2500hz_db;
    return config;
}

}  // namespace

SceneConfig noise_only(double seconds, std::uint64_t seed) {
    return empty_scene(seconds, 0.0, seed);
}

SceneConfig static_only(double seconds, double crashes_per_s, std::uint64_t seed) {
    SceneConfig config = empty_scene(seconds, 0.0, seed);
    config.noise.crashes_per_s = crashes_per_s;
    config.noise.crash_spread_db = 6.0;
    return config;
}

SceneConfig hum_only(double seconds, double mains_hz, std::uint64_t seed) {
    SceneConfig config = empty_scene(seconds, 20.0, seed);
    config.receiver.mains = {true, 20.0, mains_hz};
    return config;
}

SceneConfig steady_carrier(double seconds, double snr_2500hz_db, std::uint64_t seed) {
    SceneConfig config = empty_scene(seconds, snr_2500hz_db, seed);
    config.wanted.carrier = true;
    return config;
}

SceneConfig warbling_carrier(double seconds, double snr_2500hz_db, double warble_hz,
                             double warble_rate_hz, std::uint64_t seed) {
    SceneConfig config = steady_carrier(seconds, snr_2500hz_db, seed);
    config.wanted.note.warble_hz = warble_hz;
    config.wanted.note.warble_rate_hz = warble_rate_hz;
    return config;
}

}  // namespace skedlark::synth
