#include "dsp/watch/simulated_dial.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/core/units.h"
#include "dsp/synth/keyer.h"
#include "dsp/synth/text_makers.h"

namespace skedlark::watch {

namespace {

constexpr double kFarthestHz = 9e5;  // the stream's own limit is 1 MHz
constexpr double kPauseS = 3.0;      // between two calls
constexpr double kNearestOtherHz = 1500.0;
constexpr double kFarthestOtherHz = 40000.0;

Status within(const char* field, double value, double low, double high, const char* unit) {
    if (value >= low && value <= high) return Done{};
    return Error{ErrorCode::invalid_value, fmt::format("{}: {:g} {}; allowed: {:g} to {:g} {}",
                                                       field, value, unit, low, high, unit)};
}

Status check(const SimulatedDialConfig& c) {
    for (const Status& status : {within("speed of the base", c.speed_wpm, 4, 60, "words a minute"),
                                 within("noise", c.snr_2500hz_db, -20, 60, "dB"),
                                 within("stations", c.others, 0, 20, "others"),
                                 within("loudness", c.loudness_dbfs, -80, -6, "dBFS")}) {
        if (!status) return status.error();
    }
    return Done{};
}

// The base calls, waits, calls again.
std::vector<synth::Transmission> calls(const SimulatedDialConfig& config) {
    const std::string text = synth::call_up(config.own_call, config.base_call);
    synth::Keyer keyer({config.speed_wpm, 0.0, {}}, 1);
    synth::Keyed keyed;
    const auto once_s = keyer.send(text, 0.0, keyed);
    std::vector<synth::Transmission> out;
    if (!once_s) return out;
    for (double at_s = 1.0; at_s < SimulatedDial::kCallingS; at_s += *once_s + kPauseS)
        out.push_back({at_s, text});
    return out;
}

synth::SweepStation other_station(const SimulatedDialConfig& config, synth::Random& random) {
    synth::SweepStation other;
    const double way = random.uniform() < 0.5 ? -1.0 : 1.0;
    other.at_hz = way * random.uniform(kNearestOtherHz, kFarthestOtherHz);
    other.station.level_db = random.uniform(-6.0, 15.0);
    const double kind = random.uniform();
    if (kind < 0.2) {
        other.station.carrier = true;
        other.programme = synth::ProgrammeKind::speech;
    } else if (kind < 0.3) {
        other.station.carrier = true;
    } else {
        other.station.keep_sending = true;
        other.station.speed_wpm =
            std::clamp(config.speed_wpm * random.uniform(0.8, 1.5), 4.0, 60.0);
        other.station.fist = synth::named_fists()[static_cast<std::size_t>(random.below(4))].fist;
    }
    return other;
}

}  // namespace

Result<std::unique_ptr<SimulatedDial>> SimulatedDial::create(const SimulatedDialConfig& config) {
    if (const Status status = check(config); !status) return status.error();
    auto dial = dial::Dial::create(config.receiver, config.band);
    if (!dial) return dial.error();
    const auto setting = dial->setting(config.base_mhz);
    if (!setting) return setting.error();
    if (!config.fading.empty()) {
        if (const auto channel = synth::channel_by_name(config.fading); !channel)
            return channel.error();
    }
    synth::Random random(synth::derive_seed(config.seed, "dial error"));
    // Beyond two standard deviations it would be another chart.
    const double off_div =
        config.dial_is_off ? setting->sd_div * std::clamp(random.normal(), -2.0, 2.0) : 0.0;
    std::unique_ptr<SimulatedDial> made(new SimulatedDial(config, *std::move(dial), off_div));
    auto stream = synth::DialStream::create(made->scene());
    if (!stream) return stream.error();
    made->stream_ = *std::move(stream);
    made->turn_to(setting->div);
    return made;
}

SimulatedDial::SimulatedDial(const SimulatedDialConfig& config, dial::Dial dial, double off_div)
    : config_(config), dial_(std::move(dial)), off_div_(off_div) {}

synth::SweepSceneConfig SimulatedDial::scene() const {
    synth::SweepSceneConfig scene;
    scene.seconds = kCallingS;
    scene.seed = config_.seed;
    scene.snr_2500hz_db = config_.snr_2500hz_db;
    const double noise =
        power_from_db(-config_.snr_2500hz_db) * scene.sample_rate_hz / 2.0 / kReferenceBandwidthHz;
    scene.level_dbfs = config_.loudness_dbfs - db_from_power(1.0 + noise);
    scene.receiver.filter.kind = synth::FilterKind::band;
    scene.receiver.filter.low_hz = config_.receiver.audio.low_hz;
    scene.receiver.filter.high_hz =
        std::min(config_.receiver.audio.high_hz, 0.44 * scene.sample_rate_hz);
    scene.receiver.limiter = true;
    scene.receiver.limiter_dbfs = std::min(0.0, config_.loudness_dbfs + 12.0);
    synth::SweepStation base;
    base.station.speed_wpm = config_.speed_wpm;
    base.station.transmissions = calls(config_);
    if (!config_.fading.empty()) base.station.channel = *synth::channel_by_name(config_.fading);
    scene.stations.push_back(base);
    synth::Random random(synth::derive_seed(config_.seed, "others"));
    for (int i = 0; i < config_.others; ++i)
        scene.stations.push_back(other_station(config_, random));
    return scene;
}

double SimulatedDial::tuned_hz(double div) const {
    return 1e6 * (dial_.mhz_at(div - off_div_) - config_.base_mhz);
}

void SimulatedDial::turn_to(double div) {
    div_ = std::clamp(div, config_.receiver.from_div, config_.receiver.to_div);
    stream_->turn_to(std::clamp(tuned_hz(div_), -kFarthestHz, kFarthestHz));
}

void SimulatedDial::read(std::span<float> out) {
    const std::lock_guard held(mutex_);
    stream_->read(out);
}

double SimulatedDial::base_pitch_hz() const {
    const bool above = config_.receiver.beat.listen == dial::ListenSide::above;
    return above ? -tuned_hz(div_) : tuned_hz(div_);
}

bool SimulatedDial::is_found() const {
    return std::abs(std::abs(base_pitch_hz()) - config_.receiver.audio.pitch_hz) <= kFoundHz;
}

double SimulatedDial::base_division() const {
    const auto setting = dial_.setting(config_.base_mhz);
    return setting ? setting->listen_div + off_div_ : div_;
}

Result<double> SimulatedDial::send_message(const std::string& text) {
    constexpr double kInS = 2.0;
    const std::lock_guard held(mutex_);
    return stream_->send(0, text, kInS);
}

}  // namespace skedlark::watch
