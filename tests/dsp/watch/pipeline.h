// Runs audio through a Watch and sorts what comes out.
#pragma once

#include <fmt/format.h>

#include <span>
#include <string>
#include <vector>

#include "dsp/core/units.h"
#include "dsp/synth/fist.h"
#include "dsp/synth/scene.h"
#include "dsp/watch/watch.h"

namespace skedlark::watch {

// One text in noise, from 1 s on.
inline synth::SceneConfig scene_of(const std::string& text, double snr_2500hz_db,
                                   const char* fist = "machine", std::uint64_t seed = 7) {
    return synth::one_text(text, 18.0, *synth::fist_by_name(fist), snr_2500hz_db, seed);
}

inline synth::Scene make(const synth::SceneConfig& config) { return *synth::make_scene(config); }

// Noise alone, of the level that goes with a tone of -30 dBFS at 0 dB.
inline std::vector<float> noise(double seconds, std::uint64_t seed) {
    synth::SceneConfig config;
    config.seconds = seconds;
    config.seed = seed;
    config.snr_2500hz_db = 0.0;
    return make(config).samples;
}

inline std::vector<Event> watched(std::span<const float> audio, const WatchConfig& config = {},
                                  std::size_t block = 400) {
    Watch watch = *Watch::create(config);
    std::vector<Event> events;
    for (std::size_t i = 0; i < audio.size(); i += block) {
        watch.process({audio.subspan(i, std::min(block, audio.size() - i))}, events);
    }
    watch.finish(events);
    return events;
}

template <typename E>
std::vector<E> only(const std::vector<Event>& events) {
    std::vector<E> some;
    for (const Event& event : events) {
        if (const auto* one = std::get_if<E>(&event)) {
            some.push_back(*one);
        }
    }
    return some;
}

// Final text of one tone; 0: of all tones, in order of the events.
inline std::string text_of(const std::vector<Event>& events, int tone = 0) {
    std::string text;
    for (const CharEvent& event : only<CharEvent>(events)) {
        if (event.final && (tone == 0 || event.tone == tone)) {
            text += event.procedure ? "[" + event.text + "]" : event.text;
        }
    }
    return text;
}

// Everything in an event that may be compared, as text.
struct Described {
    std::string operator()(const ToneEvent& e) const {
        return fmt::format("tone {} {} {} {} {} {}", e.tone, e.at_frame, e.pitch_hz,
                           e.keyed ? static_cast<int>(*e.keyed) : -1, e.snr_2500hz_db,
                           e.false_alarm_odds);
    }
    std::string operator()(const CharEvent& e) const {
        return fmt::format("char {} {} {} {} {} {} {}", e.tone, e.from_frame, e.to_frame, e.text,
                           e.procedure, e.final, e.confidence);
    }
    std::string operator()(const CallEvent& e) const {
        return "call " + e.call + " at " + std::to_string(e.at_frame);
    }
    std::string operator()(const PitchMovedEvent& e) const {
        return fmt::format("moved {} {} {} {}", e.tone, e.at_frame, e.from_hz, e.to_hz);
    }
    std::string operator()(const SendingEvent& e) const {
        return fmt::format("sending {} {}", e.from_frame, e.to_frame);
    }
    std::string operator()(const AudioLostEvent& e) const {
        return fmt::format("lost {} {} {}", e.from_frame, e.to_frame, e.reason);
    }
    std::string operator()(const NoteEvent& e) const {
        return fmt::format("note {} {}", e.at_frame, e.text);
    }
    std::string operator()(const SummaryEvent& e) const {
        std::string all = fmt::format("summary {}", e.seconds);
        for (const ToneSummary& t : e.tones) {
            all += fmt::format(" [{} {} {} {} {} {} {}]", t.tone, t.pitch_hz, t.snr_2500hz_db,
                               t.speed_wpm, t.text, t.mean_confidence, t.timing.marks);
        }
        return all;
    }
};

inline std::vector<std::string> described(const std::vector<Event>& events) {
    std::vector<std::string> all;
    for (const Event& event : events) {
        all.push_back(std::visit(Described{}, event));
    }
    return all;
}

}  // namespace skedlark::watch
