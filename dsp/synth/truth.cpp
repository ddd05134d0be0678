#include "dsp/synth/truth.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

namespace skedlark::synth {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kMaxCrashesWritten = 1000;

// A tenth of a millisecond and a hundredth of a hertz or decibel are finer than anything measured
// here.
double rounded(double value, double steps_per_unit) {
    return std::round(value * steps_per_unit) / steps_per_unit;
}
double rounded_s(double value) { return rounded(value, 1e4); }

Json rounded_track(const std::vector<double>& track) {
    Json out = Json::array();
    for (const double value : track) out.push_back(rounded(value, 100.0));
    return out;
}

Json json_of(const StationTruth& station) {
    Json characters = Json::array();
    for (const KeyedCharacter& one : station.characters) {
        Json entry = {
            {"char", one.text}, {"from_s", rounded_s(one.from_s)}, {"to_s", rounded_s(one.to_s)}};
        if (one.procedure) entry["procedure"] = true;
        characters.push_back(entry);
    }
    Json marks = Json::array();
    for (const Mark& mark : station.marks) {
        marks.push_back({rounded_s(mark.on_s), rounded_s(mark.off_s)});
    }
    Json json = {{"text", station.text},           {"carrier", station.carrier},
                 {"speed_wpm", station.speed_wpm}, {"offset_hz", station.offset_hz},
                 {"level_db", station.level_db},   {"characters", characters},
                 {"marks_on_off_s", marks}};
    if (station.key_marks != station.marks) {
        Json key_marks = Json::array();
        for (const Mark& mark : station.key_marks) {
            key_marks.push_back({rounded_s(mark.on_s), rounded_s(mark.off_s)});
        }
        json["key_marks_on_off_s"] = std::move(key_marks);
    }
    return json;
}

}  // namespace

std::string text_of(const std::vector<KeyedCharacter>& characters) {
    std::string text;
    for (const KeyedCharacter& one : characters) {
        text += one.procedure ? "[" + one.text + "]" : one.text;
    }
    return text;
}

std::string to_json(const Truth& truth, int indent) {
    Json json = {{"sample_rate_hz", truth.sample_rate_hz},
                 {"seconds", rounded_s(truth.seconds)},
                 {"seed", truth.seed},
                 {"level_dbfs", truth.level_dbfs}};
    json["snr_2500hz_db"] = truth.snr_2500hz_db ? Json(*truth.snr_2500hz_db) : Json(nullptr);
    json["wanted"] = json_of(truth.wanted);
    json["neighbours"] = Json::array();
    for (const StationTruth& station : truth.neighbours) {
        json["neighbours"].push_back(json_of(station));
    }
    json["own"] = Json::array();
    for (const OwnTruth& own : truth.own) {
        json["own"].push_back(
            {{"from_s", rounded_s(own.from_s)}, {"to_s", rounded_s(own.to_s)}, {"text", own.text}});
    }
    json["knocks"] = Json::array();
    for (const Knock& knock : truth.knocks) {
        json["knocks"].push_back({{"at_s", knock.at_s}, {"hz", knock.hz}});
    }
    json["crash_count"] = truth.crashes.size();
    json["crashes"] = Json::array();
    for (std::size_t i = 0; i < std::min(truth.crashes.size(), kMaxCrashesWritten); ++i) {
        const Crash& crash = truth.crashes[i];
        json["crashes"].push_back({{"at_s", rounded_s(crash.at_s)},
                                   {"length_s", rounded_s(crash.length_s)},
                                   {"level_db", rounded(crash.level_db, 100.0)}});
    }
    json["track_step_s"] = truth.track_step_s;
    json["pitch_hz"] = rounded_track(truth.pitch_hz);
    json["level_db"] = rounded_track(truth.level_db);
    return json.dump(indent);
}

}  // namespace skedlark::synth
