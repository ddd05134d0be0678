#include "dsp/synth/sweep_scene.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "dsp/core/units.h"
#include "dsp/synth/heard_station.h"
#include "dsp/synth/key_station.h"

namespace skedlark::synth {
namespace {

constexpr std::size_t kBlockFrames = 1024;

// The same scene with this station in the place of the wanted one, so that each setting has one
// check.
SceneConfig as_scene(const SweepSceneConfig& config, const StationConfig& station) {
    SceneConfig scene;
    scene.sample_rate_hz = config.sample_rate_hz;
    scene.seconds = config.seconds;
    scene.level_dbfs = config.level_dbfs;
    scene.snr_2500hz_db = config.snr_2500hz_db;
    scene.wanted = station;
    scene.wanted.level_db = 0.0;
    scene.noise = config.noise;
    scene.receiver = config.receiver;
    scene.track_step_s = config.track_step_s;
    return scene;
}

}  // namespace

Status check(const SweepSceneConfig& config) {
    Status status = Done{};
    const auto range = [&](const std::string& field, double value, double low, double high) {
        if (status && !(value >= low && value <= high)) {
            status = Error{ErrorCode::invalid_value,
                           fmt::format("{}: {}, allowed {} to {}", field, value, low, high)};
        }
    };
    range("seconds", config.seconds, 0.001, 100000.0);
    range("dial.rate_hz_per_s", config.dial.rate_hz_per_s, -20000.0, 20000.0);
    range("dial.wobble", config.dial.wobble, 0.0, 0.9);
    range("dial.wobble_step_s", config.dial.wobble_step_s, 0.05, 100.0);
    range("dial.from_s", config.dial.from_s, 0.0, 1e6);
    range("dial.to_s", config.dial.to_s, config.dial.from_s, 1e6);
    if (status) status = check(as_scene(config, {}));
    for (std::size_t i = 0; i < config.stations.size(); ++i) {
        const SweepStation& one = config.stations[i];
        const std::string at = fmt::format("stations[{}]", i);
        range(at + ".at_hz", one.at_hz, -1e6, 1e6);
        range(at + ".depth", one.depth, 0.0, 1.0);
        range(at + ".station.level_db", one.station.level_db, -80.0, 80.0);
        if (!status) break;
        if (const Status station = check(as_scene(config, one.station)); !station) {
            status = Error{station.error().code, at + ": " + station.error().message};
        }
    }
    return status;
}

double noise_rms(const SweepSceneConfig& config) {
    if (!config.snr_2500hz_db) return 0.0;
    const double tone_power = 0.5 * power_from_db(config.level_dbfs);
    const double density =
        tone_power / power_from_db(*config.snr_2500hz_db) / kReferenceBandwidthHz;
    return std::sqrt(density * 0.5 * config.sample_rate_hz);
}

std::string to_json(const SweepTruth& truth, int indent) {
    nlohmann::ordered_json json = {{"track_step_s", truth.track_step_s},
                                   {"tuned_hz", nlohmann::ordered_json::array()},
                                   {"stations", nlohmann::ordered_json::array()}};
    // A tenth of a hertz and of a millisecond are finer than anything measured here.
    const auto tenths = [](double value) { return std::round(value * 10.0) / 10.0; };
    for (const double hz : truth.tuned_hz) json["tuned_hz"].push_back(tenths(hz));
    for (const SweepStationTruth& one : truth.stations) {
        nlohmann::ordered_json station = {{"text", one.station.text},
                                          {"carrier", one.station.carrier},
                                          {"speed_wpm", one.station.speed_wpm},
                                          {"level_db", one.station.level_db},
                                          {"zero_beats_s", nlohmann::ordered_json::array()},
                                          {"rates_hz_per_s", nlohmann::ordered_json::array()}};
        for (const double at_s : one.zero_beats_s)
            station["zero_beats_s"].push_back(tenths(1000.0 * at_s) / 1000.0);
        for (const double rate : one.rates_hz_per_s)
            station["rates_hz_per_s"].push_back(tenths(rate));
        json["stations"].push_back(station);
    }
    return json.dump(indent);
}

Result<SweepScene> make_sweep_scene(const SweepSceneConfig& config) {
    if (const Status status = check(config); !status) return status.error();
    SweepScene scene;
    scene.truth.track_step_s = config.track_step_s;
    std::vector<HeardStation> heard;
    for (std::size_t i = 0; i < config.stations.size(); ++i) {
        const std::uint64_t seed = derive_seed(config.seed, "station", i);
        auto sent = key_station(config.stations[i].station, config.seconds, seed);
        if (!sent) return sent.error();
        sent->level_db = config.stations[i].station.level_db;
        heard.emplace_back(
            config.stations[i],
            amplitude_from_db(config.level_dbfs + config.stations[i].station.level_db),
            config.sample_rate_hz, sent->marks, seed);
        scene.truth.stations.push_back({*std::move(sent), {}, {}});
    }
    TurnedDial dial(config.dial, config.sample_rate_hz, derive_seed(config.seed, "dial"));
    NoiseSource noise(config.noise, noise_rms(config), config.sample_rate_hz,
                      derive_seed(config.seed, "noise"));
    Receiver receiver(config.receiver, {}, amplitude_from_db(config.level_dbfs),
                      config.sample_rate_hz);
    const auto frames =
        static_cast<std::size_t>(frames_from_seconds(config.seconds, config.sample_rate_hz));
    const double track_step_frames = config.track_step_s * config.sample_rate_hz;
    scene.samples.reserve(frames);
    std::vector<double> block;
    for (std::size_t frame = 0; frame < frames;) {
        block.assign(std::min(kBlockFrames, frames - frame), 0.0);
        for (double& sample : block) {
            const double tuned_hz = dial.next();
            const auto now = static_cast<double>(frame++);
            if (now >= track_step_frames * static_cast<double>(scene.truth.tuned_hz.size()))
                scene.truth.tuned_hz.push_back(tuned_hz);
            for (std::size_t i = 0; i < heard.size(); ++i) {
                sample += heard[i].next(tuned_hz);
                if (!heard[i].crossed(tuned_hz)) continue;
                scene.truth.stations[i].zero_beats_s.push_back(now / config.sample_rate_hz);
                scene.truth.stations[i].rates_hz_per_s.push_back(std::abs(dial.rate_hz_per_s()));
            }
        }
        noise.add(block);
        receiver.process(block);
        for (const double value : block) scene.samples.push_back(static_cast<float>(value));
    }
    return scene;
}

}  // namespace skedlark::synth
