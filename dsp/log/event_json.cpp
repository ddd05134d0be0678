#include "dsp/log/event_json.h"

#include <chrono>
#include <cmath>

#include "dsp/log/json_values.h"

namespace skedlark::log {

namespace {

using namespace json;

Json object(const ToneEvent& e) {
    return {{"event", "tone"},
            {"tone", e.tone},
            {"at_s", seconds(e.at_frame)},
            {"pitch_hz", hertz(e.pitch_hz)},
            {"keyed", e.keyed ? Json(*e.keyed) : Json(nullptr)},
            {"snr_2500hz_db", decibel(e.snr_2500hz_db)},
            {"false_alarm_odds", odds(e.false_alarm_odds)}};
}

Json object(const CharEvent& e) {
    Json others = Json::array();
    for (const auto& [text, confidence] : e.others) {
        others.push_back(Json::array({text, chance(confidence)}));
    }
    Json json = {{"event", "char"},
                 {"tone", e.tone},
                 {"from_s", seconds(e.from_frame)},
                 {"to_s", seconds(e.to_frame)},
                 {"char", e.text},
                 {"confidence", chance(e.confidence)},
                 {"others", std::move(others)}};
    if (e.procedure) {
        json["procedure"] = true;
    }
    if (e.unaided) {
        json["unaided"] = *e.unaided;
    }
    if (!e.final) {
        json["final"] = false;
    }
    return json;
}

Json object(const PitchMovedEvent& e) {
    return {{"event", "pitch_moved"},
            {"tone", e.tone},
            {"at_s", seconds(e.at_frame)},
            {"from_hz", hertz(e.from_hz)},
            {"to_hz", hertz(e.to_hz)}};
}

Json object(const CallEvent& e) {
    return {{"event", "call"},
            {"tone", e.tone},
            {"at_s", seconds(e.at_frame)},
            {"call", e.call},
            {"log_odds", number(e.log_odds, 1)},
            {"speed_wpm", number(e.speed_wpm, 1)}};
}

Json object(const SendingEvent& e) {
    return {{"event", "sending"}, {"from_s", seconds(e.from_frame)}, {"to_s", seconds(e.to_frame)}};
}

Json object(const AudioLostEvent& e) {
    return {{"event", "audio_lost"},
            {"from_s", seconds(e.from_frame)},
            {"to_s", seconds(e.to_frame)},
            {"reason", e.reason}};
}

Json object(const NoteEvent& e) {
    return {{"event", "note"}, {"at_s", seconds(e.at_frame)}, {"text", e.text}};
}

Json object(const TimingSummary& t) {
    return {{"dot_ms", milliseconds(t.dot_s)},
            {"dash_ms", milliseconds(t.dash_s)},
            {"element_gap_ms", milliseconds(t.element_gap_s)},
            {"character_gap_ms", milliseconds(t.character_gap_s)},
            {"word_gap_ms", milliseconds(t.word_gap_s)},
            {"dash_to_dot", number(t.dash_to_dot, 3)},
            {"dot_cv", chance(t.dot_cv)},
            {"dash_cv", chance(t.dash_cv)},
            {"element_gap_cv", chance(t.element_gap_cv)},
            {"character_gap_cv", chance(t.character_gap_cv)},
            {"marks", t.marks}};
}

Json object(const SummaryEvent& e) {
    Json tones = Json::array();
    for (const ToneSummary& t : e.tones) {
        tones.push_back({{"tone", t.tone},
                         {"pitch_hz", hertz(t.pitch_hz)},
                         {"pitch_drift_hz_per_min", number(t.pitch_drift_hz_per_min, 3)},
                         {"snr_2500hz_db", decibel(t.snr_2500hz_db)},
                         {"speed_wpm", number(t.speed_wpm, 2)},
                         {"text", t.text},
                         {"mean_confidence", chance(t.mean_confidence)},
                         {"timing", object(t.timing)}});
    }
    return {{"event", "summary"}, {"seconds", number(e.seconds, 4)}, {"tones", std::move(tones)}};
}

struct StartOf {
    FrameIndex operator()(const CharEvent& e) const { return e.from_frame; }
    FrameIndex operator()(const SendingEvent& e) const { return e.from_frame; }
    FrameIndex operator()(const AudioLostEvent& e) const { return e.from_frame; }
    FrameIndex operator()(const SummaryEvent&) const { return 0; }
    template <typename E>
    FrameIndex operator()(const E& e) const {
        return e.at_frame;
    }
};

}  // namespace

std::string json_line(const InputLine& input) {
    Json json = {{"event", "input"},
                 {"name", input.name},
                 {"sample_rate_hz", input.sample_rate_hz},
                 {"seconds", input.seconds ? number(*input.seconds, 4) : Json(nullptr)}};
    if (input.utc) {
        json["utc"] = utc_text(*input.utc);
    }
    return line_of(json);
}

std::string json_line(const Event& event, std::optional<UtcTime> start) {
    Json json = std::visit([](const auto& e) { return object(e); }, event);
    if (start) {
        const double at_s = seconds_from_frames(std::visit(StartOf{}, event));
        json["utc"] = utc_text(*start + std::chrono::milliseconds(std::llround(1000.0 * at_s)));
    }
    return line_of(json);
}

std::string json_found_line(double seconds_long, const std::vector<ToneEvent>& tones) {
    Json list = Json::array();
    for (const ToneEvent& tone : tones) {
        Json one = object(tone);
        one.erase("event");
        list.push_back(std::move(one));
    }
    return line_of(
        {{"event", "found"}, {"seconds", number(seconds_long, 4)}, {"tones", std::move(list)}});
}

}  // namespace skedlark::log
