#include "dsp/synth/scene_config.h"

#include <fmt/format.h>

#include <cmath>

#include "dsp/core/units.h"
#include "dsp/morse/code_table.h"

namespace skedlark::synth {
namespace {

// Collects the first thing that is wrong.
class Checker {
 public:
    void range(const std::string& field, double value, double low, double high) {
        if (!(value >= low && value <= high)) {
            fail(field, fmt::format("{}", value), fmt::format("{} to {}", low, high));
        }
    }
    void in_order(const std::string& field, double before, double value) {
        if (!(value >= before)) {
            fail(field, fmt::format("{}", value),
                 fmt::format("{} or later, in order of time", before));
        }
    }
    void text(const std::string& field, const std::string& value) {
        if (error_.message.empty()) {
            const auto symbols = morse::symbols_from_text(value);
            if (!symbols) error_.message = field + "." + symbols.error().message;
        }
    }
    void fail(const std::string& field, const std::string& value, const std::string& allowed) {
        if (error_.message.empty()) {
            error_.message = fmt::format("{}: {}, allowed {}", field, value, allowed);
        }
    }
    [[nodiscard]] Status status() const {
        if (error_.message.empty()) return Done{};
        return error_;
    }

 private:
    Error error_;
};

void check_fist(Checker& c, const std::string& at, const Fist& fist) {
    const auto length = [&](const char* name, const Length& value) {
        c.range(at + "." + name + ".mean_dots", value.mean_dots, 0.2, 40.0);
        c.range(at + "." + name + ".cv", value.cv, 0.0, 1.0);
    };
    length("dot", fist.dot);
    length("dash", fist.dash);
    length("element_gap", fist.element_gap);
    length("character_gap", fist.character_gap);
    length("word_gap", fist.word_gap);
    c.range(at + ".drift", fist.drift, 0.0, 0.5);
    c.range(at + ".drift_time_s", fist.drift_time_s, 1.0, 1000.0);
}

void check_note(Checker& c, const std::string& at, const NoteConfig& note) {
    c.range(at + ".chirp_hz", note.chirp_hz, -500.0, 500.0);
    c.range(at + ".chirp_settle_s", note.chirp_settle_s, 0.001, 10.0);
    c.range(at + ".hum_depth", note.hum_depth, 0.0, 1.0);
    c.range(at + ".hum_fm_hz", note.hum_fm_hz, 0.0, 200.0);
    c.range(at + ".hum_hz", note.hum_hz, 20.0, 400.0);
    c.range(at + ".warble_hz", note.warble_hz, 0.0, 500.0);
    c.range(at + ".warble_rate_hz", note.warble_rate_hz, 0.01, 50.0);
}

void check_channel(Checker& c, const std::string& at, const ChannelConfig& channel) {
    c.range(at + ".paths", channel.paths, 0, 2);
    c.range(at + ".spread_hz", channel.spread_hz, 0.0, 50.0);
    c.range(at + ".delay_s", channel.delay_s, 0.0, 0.02);
}

void check_station(Checker& c, const std::string& at, const StationConfig& station) {
    double before_s = 0.0;
    for (const Transmission& one : station.transmissions) {
        c.in_order(at + ".transmissions.at_s", before_s, one.at_s);
        c.range(at + ".transmissions.at_s", one.at_s, 0.0, 100000.0);
        c.text(at + ".transmissions", one.text);
        before_s = one.at_s;
    }
    if (station.carrier && (station.keep_sending || !station.transmissions.empty())) {
        c.fail(at + ".carrier", "true", "only without transmissions and keep_sending");
    }
    c.range(at + ".speed_wpm", station.speed_wpm, kMinSpeedWpm, kMaxSpeedWpm);
    if (station.overall_wpm != 0.0) {
        c.range(at + ".overall_wpm", station.overall_wpm, 2.0, station.speed_wpm);
    }
    check_fist(c, at + ".fist", station.fist);
    const TransmitterConfig& faults = station.transmitter;
    c.range(at + ".transmitter.lag_s", faults.lag_s, 0.0, 1.0);
    c.range(at + ".transmitter.lag_spread", faults.lag_spread, 0.0, 2.0);
    c.range(at + ".transmitter.cold_lag_s", faults.cold_lag_s, 0.0, 1.0);
    c.range(at + ".transmitter.cold_after_s", faults.cold_after_s, 0.05, 100.0);
    c.range(at + ".transmitter.bounce_chance", faults.bounce_chance, 0.0, 1.0);
    c.range(at + ".transmitter.bounce_open_s", faults.bounce_open_s, 0.0005, 0.02);
    c.range(at + ".transmitter.bounce_after_s", faults.bounce_after_s, 0.0005, 0.05);
    c.range(at + ".rise_s", station.rise_s, 0.0, 0.1);
    check_note(c, at + ".note", station.note);
    check_channel(c, at + ".channel", station.channel);
    c.range(at + ".offset_hz", station.offset_hz, -4000.0, 4000.0);
    c.range(at + ".level_db", station.level_db, -80.0, 80.0);
}

void check_beat(Checker& c, const BeatConfig& beat, double sample_rate_hz) {
    c.range("beat.pitch_hz", beat.pitch_hz, 1.0, 0.49 * sample_rate_hz);
    c.range("beat.drift_hz_per_s", beat.drift_hz_per_s, -100.0, 100.0);
    c.range("beat.drift_span_hz", beat.drift_span_hz, 0.0, 0.49 * sample_rate_hz);
    c.range("beat.wander_hz", beat.wander_hz, 0.0, 100.0);
    c.range("beat.wander_step_s", beat.wander_step_s, 0.01, 1000.0);
    c.range("beat.wander_limit_hz", beat.wander_limit_hz, 1.0, 5000.0);
    double before_s = 0.0;
    for (const Knock& knock : beat.knocks) {
        c.in_order("beat.knocks.at_s", before_s, knock.at_s);
        c.range("beat.knocks.hz", knock.hz, -2000.0, 2000.0);
        c.range("beat.knocks.settle_s", knock.settle_s, 0.0, 1000.0);
        before_s = knock.at_s;
    }
}

void check_noise(Checker& c, const NoiseConfig& noise, bool has_noise) {
    c.range("noise.crashes_per_s", noise.crashes_per_s, 0.0, 200.0);
    c.range("noise.crash_level_db", noise.crash_level_db, -20.0, 60.0);
    c.range("noise.crash_spread_db", noise.crash_spread_db, 0.0, 20.0);
    c.range("noise.crash_max_s", noise.crash_max_s, 0.0001, 2.0);
    c.range("noise.crash_min_s", noise.crash_min_s, 0.0001, noise.crash_max_s);
    c.range("noise.vd_db", noise.vd_db, 1.049, 8.0);
    if (noise.crashes_per_s > 0.0 && !has_noise) {
        c.fail("noise.crashes_per_s", fmt::format("{}", noise.crashes_per_s),
               "0 where snr_2500hz_db is not given: static is measured against the noise");
    }
}

void check_filter(Checker& c, const FilterConfig& filter, double highest_hz) {
    switch (filter.kind) {
        case FilterKind::flat:
            return;
        case FilterKind::band:
            c.range("receiver.filter.high_hz", filter.high_hz, 10.0, highest_hz);
            c.range("receiver.filter.low_hz", filter.low_hz, 10.0, filter.high_hz);
            return;
        case FilterKind::valve:
            c.range("receiver.filter.width_hz", filter.width_hz, 500.0, 20000.0);
            return;
        case FilterKind::peak:
            c.range("receiver.filter.centre_hz", filter.centre_hz, 50.0, highest_hz);
            c.range("receiver.filter.width_hz", filter.width_hz, 5.0, 3000.0);
            return;
    }
}

void check_receiver(Checker& c, const ReceiverConfig& receiver, double sample_rate_hz) {
    const double highest_hz = 0.45 * sample_rate_hz;
    check_filter(c, receiver.filter, highest_hz);
    c.range("receiver.mains.level_db", receiver.mains.level_db, -60.0, 60.0);
    c.range("receiver.mains.mains_hz", receiver.mains.mains_hz, 40.0, 70.0);
    double before_s = 0.0;
    for (const GainStep& step : receiver.gain_steps) {
        c.in_order("receiver.gain_steps.at_s", before_s, step.at_s);
        c.range("receiver.gain_steps.db", step.db, -80.0, 80.0);
        before_s = step.at_s;
    }
    before_s = 0.0;
    for (const OwnSending& own : receiver.own) {
        c.in_order("receiver.own.at_s", before_s, own.at_s);
        c.range("receiver.own.at_s", own.at_s, 0.0, 100000.0);
        c.text("receiver.own", own.text);
        c.range("receiver.own.speed_wpm", own.speed_wpm, kMinSpeedWpm, kMaxSpeedWpm);
        check_fist(c, "receiver.own.fist", own.fist);
        c.range("receiver.own.pitch_hz", own.pitch_hz, 50.0, highest_hz);
        c.range("receiver.own.level_db", own.level_db, -60.0, 60.0);
        c.range("receiver.own.recover_s", own.recover_s, 0.001, 10.0);
        before_s = own.at_s;
    }
    c.range("receiver.limiter_dbfs", receiver.limiter_dbfs, -60.0, 0.0);
    c.range("receiver.dc", receiver.dc, -1.0, 1.0);
}

}  // namespace

Status check(const SceneConfig& config) {
    Checker c;
    c.range("sample_rate_hz", config.sample_rate_hz, 8000.0, 192000.0);
    c.range("seconds", config.seconds, 0.0, 100000.0);
    c.range("tail_s", config.tail_s, 0.0, 100.0);
    c.range("level_dbfs", config.level_dbfs, -120.0, 0.0);
    if (config.snr_2500hz_db) c.range("snr_2500hz_db", *config.snr_2500hz_db, -60.0, 100.0);
    c.range("track_step_s", config.track_step_s, 0.001, 10.0);
    check_beat(c, config.beat, config.sample_rate_hz);
    check_station(c, "wanted", config.wanted);
    if (config.wanted.offset_hz != 0.0) {
        c.fail("wanted.offset_hz", fmt::format("{}", config.wanted.offset_hz),
               "0; the pitch is set by beat.pitch_hz");
    }
    if (config.wanted.level_db != 0.0) {
        c.fail("wanted.level_db", fmt::format("{}", config.wanted.level_db),
               "0; the level is set by level_dbfs");
    }
    if (config.wanted.keep_sending && config.seconds == 0.0) {
        c.fail("wanted.keep_sending", "true", "only where seconds is given");
    }
    const double highest_hz = 0.49 * config.sample_rate_hz - config.beat.pitch_hz;
    for (std::size_t i = 0; i < config.neighbours.size(); ++i) {
        const std::string at = fmt::format("neighbours[{}]", i);
        check_station(c, at, config.neighbours[i]);
        if (config.neighbours[i].offset_hz > highest_hz) {
            c.fail(at + ".offset_hz", fmt::format("{}", config.neighbours[i].offset_hz),
                   fmt::format("up to {} at this pitch and sample rate", highest_hz));
        }
    }
    check_noise(c, config.noise, config.snr_2500hz_db.has_value());
    check_receiver(c, config.receiver, config.sample_rate_hz);
    return c.status();
}

SceneConfig one_text(std::string text, double speed_wpm, const Fist& fist,
                     std::optional<double> snr_2500hz_db, std::uint64_t seed) {
    SceneConfig config;
    config.wanted.transmissions.push_back({1.0, std::move(text)});
    config.wanted.speed_wpm = speed_wpm;
    config.wanted.fist = fist;
    config.snr_2500hz_db = snr_2500hz_db;
    config.seed = seed;
    return config;
}

}  // namespace skedlark::synth
