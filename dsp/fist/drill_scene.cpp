#include "dsp/fist/drill_scene.h"

#include <fmt/format.h>

#include <cmath>

#include "dsp/core/units.h"
#include "dsp/synth/scene.h"

namespace skedlark::fist {

namespace {

Status within(const char* field, double value, double low, double high, const char* unit) {
    if (value >= low && value <= high) return Done{};
    return Error{ErrorCode::invalid_value,
                 fmt::format("{}: {:g} {} is out of range; allowed: {:g} to {:g} {}", field, value,
                             unit, low, high, unit)};
}

Status check(const DrillConditions& c) {
    for (const Status& status :
         {within("noise", c.snr_2500hz_db.value_or(0.0), -30, 60, "dB"),
          within("neighbour", c.neighbour_hz.value_or(0.0), -1000, 1000, "Hz"),
          within("strength of the neighbour", c.neighbour_db, -40, 20, "dB"),
          within("pitch", c.pitch_hz, 200, 2000, "Hz"),
          within("loudness", c.loudness_dbfs, -80, -6, "dBFS")}) {
        if (!status) return status.error();
    }
    return Done{};
}

}  // namespace

Result<synth::SceneConfig> drill_scene(const std::string& text, const DrillConditions& conditions,
                                       std::uint64_t seed) {
    if (const Status status = check(conditions); !status) return status.error();
    const auto hand = synth::fist_by_name(conditions.hand);
    if (!hand) return hand.error();
    auto scene =
        synth::one_text(text, conditions.pace.character_wpm, *hand, conditions.snr_2500hz_db, seed);
    if (conditions.pace.overall_wpm < conditions.pace.character_wpm) {
        scene.wanted.overall_wpm = conditions.pace.overall_wpm;
    }
    scene.sample_rate_hz = kDrillRateHz;
    scene.beat.pitch_hz = conditions.pitch_hz;
    scene.level_dbfs = conditions.loudness_dbfs;
    if (conditions.snr_2500hz_db) {
        const double noise =
            power_from_db(-*conditions.snr_2500hz_db) * kDrillRateHz / 2.0 / kReferenceBandwidthHz;
        scene.level_dbfs -= db_from_power(1.0 + noise);
    }
    if (!conditions.fading.empty()) {
        const auto channel = synth::channel_by_name(conditions.fading);
        if (!channel) return channel.error();
        scene.wanted.channel = *channel;
    }
    if (conditions.neighbour_hz) {
        synth::StationConfig other;
        other.keep_sending = true;
        other.offset_hz = *conditions.neighbour_hz;
        other.level_db = conditions.neighbour_db;
        other.speed_wpm = 1.15 * conditions.pace.character_wpm;  // another hand, not in step
        if (other.speed_wpm > kMaxSpeedWpm) other.speed_wpm = kMaxSpeedWpm;
        scene.neighbours.push_back(other);
        scene.level_dbfs -= db_from_power(1.0 + power_from_db(conditions.neighbour_db));
    }
    return scene;
}

}  // namespace skedlark::fist
