#include "tests/accuracy/glide/glide_scenes.h"

#include <cmath>
#include <random>

#include "dsp/audio/resampler.h"
#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

// Twice the highest pitch, and then some, at the slowest.
constexpr double kSpanHz = 2.0 * 3600.0;
// The generator's own filter and the resampler keep what is folded back out of the way.
constexpr double kSceneRateHz = 12000.0;

}  // namespace

Result<synth::SweepScene> make_glide_scene(const GlideTask& task, std::uint64_t seed) {
    std::mt19937_64 random(support::seed_for_part(seed, 17));
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    synth::SweepSceneConfig config;
    config.sample_rate_hz = kSceneRateHz;
    config.seed = seed;
    config.seconds = 1.5 * kSpanHz / task.rate_hz_per_s + 8.0;
    config.snr_2500hz_db = task.snr_2500hz_db;
    config.dial.rate_hz_per_s = between(0.0, 1.0) < 0.5 ? task.rate_hz_per_s : -task.rate_hz_per_s;
    config.dial.wobble = task.wobble;
    config.dial.wobble_step_s = between(0.4, 1.5);
    synth::SweepStation one;
    one.at_hz = config.dial.rate_hz_per_s * config.seconds * between(0.45, 0.55);
    if (task.kind == GlideKind::keyed) {
        one.station.keep_sending = true;
        one.station.speed_wpm = between(12.0, 20.0);
        if (auto fist = synth::fist_by_name("ordinary")) one.station.fist = *fist;
    } else {
        one.station.carrier = true;
        if (task.kind == GlideKind::speech) one.programme = synth::ProgrammeKind::speech;
        if (task.kind == GlideKind::music) one.programme = synth::ProgrammeKind::music;
    }
    config.stations.push_back(one);
    auto scene = synth::make_sweep_scene(config);
    if (!scene) return scene.error();
    auto resampler = audio::Resampler::create(config.sample_rate_hz);
    if (!resampler) return resampler.error();
    std::vector<float> out(scene->samples.size());
    const auto progress = resampler->process(scene->samples, out);
    auto written = static_cast<std::size_t>(progress.written);
    while (const int more = resampler->flush(std::span(out).subspan(written)))
        written += static_cast<std::size_t>(more);
    out.resize(written);
    scene->samples = std::move(out);
    return scene;
}

}  // namespace skedlark::accuracy
