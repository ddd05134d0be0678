#include "dsp/synth/dial_stream.h"

#include <cmath>

#include "dsp/core/units.h"
#include "dsp/synth/key_station.h"

namespace skedlark::synth {

Result<std::unique_ptr<DialStream>> DialStream::create(const SweepSceneConfig& config) {
    if (const Status status = check(config); !status) return status.error();
    std::unique_ptr<DialStream> made(new DialStream(config));
    for (std::size_t i = 0; i < config.stations.size(); ++i) {
        const SweepStation& one = config.stations[i];
        const std::uint64_t seed = derive_seed(config.seed, "station", i);
        const auto sent = key_station(one.station, config.seconds, seed);
        if (!sent) return sent.error();
        made->heard_.emplace_back(one, amplitude_from_db(config.level_dbfs + one.station.level_db),
                                  config.sample_rate_hz, sent->marks, seed);
    }
    return made;
}

DialStream::DialStream(const SweepSceneConfig& config)
    : config_(config),
      dial_share_(1.0 - std::exp(-1.0 / (kDialS * config.sample_rate_hz))),
      noise_(config.noise, noise_rms(config), config.sample_rate_hz,
             derive_seed(config.seed, "noise")),
      receiver_(config.receiver, {}, amplitude_from_db(config.level_dbfs), config.sample_rate_hz) {}

void DialStream::read(std::span<float> out) {
    block_.assign(out.size(), 0.0);
    const double wanted_hz = wanted_hz_.load();
    for (double& sample : block_) {
        dial_hz_ += dial_share_ * (wanted_hz - dial_hz_);
        for (HeardStation& station : heard_) sample += station.next(dial_hz_);
    }
    tuned_hz_.store(dial_hz_);
    noise_.add(block_);
    receiver_.process(block_);
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = static_cast<float>(block_[i]);
}

Result<double> DialStream::send(std::size_t station, std::string_view text, double in_s) {
    StationConfig config = config_.stations.at(station).station;
    config.transmissions = {{in_s, std::string(text)}};
    config.keep_sending = false;
    const std::uint64_t seed = derive_seed(config_.seed, "sent", ++sent_);
    const auto keyed = key_station(config, 0.0, seed);
    if (!keyed) return keyed.error();
    heard_[station].send(keyed->marks, seed);
    return keyed->marks.empty() ? 0.0 : keyed->marks.back().off_s;
}

}  // namespace skedlark::synth
