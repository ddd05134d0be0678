#include "dsp/watch/watch.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>
#include <string>

#include "dsp/tone/finder.h"
#include "dsp/watch/audio_history.h"
#include "dsp/watch/input_notes.h"
#include "dsp/watch/listener.h"
#include "dsp/watch/lost_audio.h"
#include "dsp/watch/summaries.h"
#include "dsp/watch/tone_choice.h"

namespace skedlark::watch {

namespace {

// Audio goes through the stages in steps of this, so that events do not depend on how it was split.
constexpr FrameIndex kStep = 200;  // 25 ms
constexpr FrameIndex kDecideEvery = 10 * kStep;
// The finder hears a tone some seconds after it began.
constexpr double kBeforeFoundS = 20.0;
constexpr double kFinderPitchErrorHz = 1.0;
// A tone not heard for this long is no candidate.
constexpr double kRecentS = 20.0;
// Tones both heard within this are two, however near to one another.
constexpr double kHeardApartS = 10.0;

Error out_of_range(const char* field, double value, double from, double to, const char* unit) {
    return {ErrorCode::invalid_value, fmt::format("{}: {} is out of range; allowed: {} to {}{}",
                                                  field, value, from, to, unit)};
}

bool within(double value, double from, double to) { return value >= from && value <= to; }

}  // namespace

Status check(const WatchConfig& config) {
    if (config.pitch_hz && !within(*config.pitch_hz, kMinPitchHz, kMaxPitchHz)) {
        return out_of_range("pitch", *config.pitch_hz, kMinPitchHz, kMaxPitchHz, " Hz");
    }
    if (!within(config.span_hz, kMinSpanHz, kMaxSpanHz)) {
        return out_of_range("span", config.span_hz, kMinSpanHz, kMaxSpanHz, " Hz");
    }
    if (!within(config.tones, 0, kMaxTones)) {
        return out_of_range("tones", config.tones, 0, kMaxTones, "");
    }
    if (config.speed_wpm != 0.0 && !within(config.speed_wpm, kMinSpeedWpm, kMaxSpeedWpm)) {
        return out_of_range("speed", config.speed_wpm, kMinSpeedWpm, kMaxSpeedWpm, " wpm");
    }
    if (!within(config.false_alarms_per_hour, kMinFalseAlarmsPerHour, kMaxFalseAlarmsPerHour)) {
        return out_of_range("false alarms", config.false_alarms_per_hour, kMinFalseAlarmsPerHour,
                            kMaxFalseAlarmsPerHour, " an hour");
    }
    if (!within(config.lag_s, 0.5, 10.0)) {
        return out_of_range("lag", config.lag_s, 0.5, 10.0, " s");
    }
    if (!within(config.lookback_s, 1.0, kMaxLookbackS)) {
        return out_of_range("lookback", config.lookback_s, 1.0, kMaxLookbackS, " s");
    }
    if (!config.calls.empty()) {
        if (const Status right = copy::check_calls(config.calls); !right) {
            return right;
        }
    }
    return Done{};
}

struct Watch::State {
    // What is known about a tone beside its latest ToneEvent.
    struct Known {
        ToneEvent event;
        FrameIndex first_frame = 0;
        FrameIndex heard_frame = 0;
        std::optional<FrameIndex> not_keyed_since;
        bool was_keyed = false;
        FrameIndex copied_until = 0;  // audio before this has been read already
    };
    struct Place {
        Listener listener;
        double moved_at_start_hz = 0.0;
    };

    State(const WatchConfig& c, const ChoiceConfig& choice, tone::Finder f)
        : config(c),
          choice_config(choice),
          finder(std::move(f)),
          history(frames_from_seconds(c.lookback_s)) {}

    void take(std::span<const float> audio, bool lost, std::vector<Event>& out);
    void step(std::vector<Event>& out);
    void find(std::vector<Event>& out);
    int number_of(const tone::FoundTone& found);
    void decide(std::vector<Event>& out);
    void take_up(int tone, std::vector<Event>& out);
    void end_place(int tone, bool keep_open_text, std::vector<Event>& out);
    [[nodiscard]] double moved_hz() const;
    [[nodiscard]] std::vector<Candidate> candidates() const;
    [[nodiscard]] std::vector<Followed> followed() const;
    void finish(std::vector<Event>& out);

    WatchConfig config;
    ChoiceConfig choice_config;
    tone::Finder finder;
    AudioHistory history;
    InputNotes notes;
    LostAudio lost_audio;
    std::vector<Place> places;
    std::map<int, int> number;   // finder's number -> ours
    std::map<int, Known> known;  // by our number
    Summaries summaries;
    double moved_before_hz = 0.0;  // by tones no longer followed
    int next_number = 1;

    std::vector<float> step_audio;  // of the step being filled; all heard or all lost
    bool step_lost = false;
    std::vector<Event> found_events;
    FrameIndex taken = 0;    // samples that came in
    FrameIndex decided = 0;  // when tones were last chosen
};

void Watch::State::take(std::span<const float> audio, bool lost, std::vector<Event>& out) {
    while (!audio.empty()) {
        if (lost != step_lost && !step_audio.empty()) {
            step(out);
        }
        step_lost = lost;
        const FrameIndex room = kStep - taken % kStep;
        const auto part = std::min(static_cast<std::size_t>(room), audio.size());
        step_audio.insert(step_audio.end(), audio.begin(),
                          audio.begin() + static_cast<std::ptrdiff_t>(part));
        taken += static_cast<FrameIndex>(part);
        audio = audio.subspan(part);
        if (taken % kStep == 0) {
            step(out);
        }
    }
}

void Watch::State::step(std::vector<Event>& out) {
    const std::span<const float> audio = notes.process(step_audio, step_lost, out);
    step_audio.clear();
    history.add(audio, step_lost);
    found_events.clear();
    finder.process(audio, found_events, step_lost);
    for (Place& place : places) {
        place.listener.process(audio, step_lost, out);
    }
    lost_audio.tell(taken, out);
    if (!found_events.empty()) {
        find(out);
    }
    if (config.tones > 0 && (history.end_frame() - decided >= kDecideEvery)) {
        decided = history.end_frame();
        decide(out);
    }
}

// A tone that is found at the pitch of one that is followed, or of one known from before, is that
// tone: it was knocked there, or forgotten by the finder while it was silent.
int Watch::State::number_of(const tone::FoundTone& found) {
    const auto entry = number.find(found.event.tone);
    if (entry != number.end()) {
        return entry->second;
    }
    // Not when the finder still hears that tone beside this one: then they are two.
    const auto is_heard_apart = [&](int tone) {
        return std::any_of(finder.tones().begin(), finder.tones().end(), [&](const auto& other) {
            const auto its = number.find(other.event.tone);
            return its != number.end() && its->second == tone &&
                   seconds_from_frames(history.end_frame() - other.event.at_frame) < kHeardApartS;
        });
    };
    int ours = 0;
    for (const Place& place : places) {
        if (!is_heard_apart(place.listener.tone()) &&
            std::abs(place.listener.pitch_hz() - found.event.pitch_hz) < kSameToneHz) {
            ours = place.listener.tone();
        }
    }
    for (const auto& [tone, old] : known) {
        if (ours == 0 && !is_heard_apart(tone) &&
            std::abs(old.event.pitch_hz - found.event.pitch_hz) < kSameToneHz) {
            ours = tone;
        }
    }
    if (ours == 0) {
        ours = next_number++;
    }
    number[found.event.tone] = ours;
    return ours;
}

void Watch::State::find(std::vector<Event>& out) {
    for (const Event& event : found_events) {
        const auto* told = std::get_if<ToneEvent>(&event);
        if (told == nullptr) {
            out.push_back(event);
            continue;
        }
        const auto& tones = finder.tones();
        const auto entry = std::find_if(tones.begin(), tones.end(), [&](const tone::FoundTone& t) {
            return t.event.tone == told->tone;
        });
        const tone::FoundTone found{
            *told, entry != tones.end() ? entry->first_frame : told->at_frame, 0.0};
        ToneEvent renamed = *told;
        renamed.tone = number_of(found);
        const auto [old, is_new] = known.try_emplace(renamed.tone);
        if (is_new) {
            old->second.first_frame = found.first_frame;
        }
        old->second.event = renamed;
        out.emplace_back(renamed);
    }
}

std::vector<Candidate> Watch::State::candidates() const {
    std::vector<Candidate> all;
    for (const auto& [tone, about] : known) {
        if (seconds_from_frames(history.end_frame() - about.heard_frame) < kRecentS) {
            all.push_back({tone, about.event.pitch_hz, about.event.keyed, about.event.snr_2500hz_db,
                           about.event.false_alarm_odds,
                           seconds_from_frames(history.end_frame() - about.first_frame)});
        }
    }
    return all;
}

std::vector<Followed> Watch::State::followed() const {
    std::vector<Followed> all;
    for (const Place& place : places) {
        const Known& about = known.at(place.listener.tone());
        Followed tone;
        tone.tone = place.listener.tone();
        tone.start_hz = place.listener.start_hz() - place.moved_at_start_hz;
        tone.pitch_hz = place.listener.pitch_hz();
        tone.makes_sense = place.listener.makes_sense();
        tone.real = about.was_keyed || tone.makes_sense;
        tone.snr_2500hz_db = place.listener.snr_2500hz_db();
        tone.silent_s = place.listener.silent_s();
        // A verdict about something beside the tone (a hum line, a side band) is none about the
        // tone, and a tone that gave text that makes sense is keyed whatever else it looks like.
        const bool about_this = std::abs(about.event.pitch_hz - tone.pitch_hz) < kSameToneHz;
        if (about.not_keyed_since && about_this && !tone.makes_sense) {
            // A trial ends with the first verdict against it.
            tone.not_keyed_s =
                tone.real ? seconds_from_frames(history.end_frame() - *about.not_keyed_since)
                          : 2.0 * kDropAfterS;
        }
        all.push_back(tone);
    }
    return all;
}

double Watch::State::moved_hz() const {
    if (places.empty()) {
        return moved_before_hz;
    }
    const Place& first = places.front();
    return first.moved_at_start_hz + first.listener.pitch_hz() - first.listener.start_hz();
}

void Watch::State::decide(std::vector<Event>& out) {
    for (const tone::FoundTone& found : finder.tones()) {
        const auto entry = number.find(found.event.tone);
        if (entry == number.end()) {
            continue;
        }
        Known& about = known[entry->second];
        const int ours = about.event.tone;
        about.event = found.event;
        about.event.tone = ours;
        about.heard_frame = std::max(about.heard_frame, found.event.at_frame);
        about.was_keyed = about.was_keyed || found.event.keyed.value_or(false);
        if (found.event.keyed.value_or(true)) {
            about.not_keyed_since.reset();
        } else if (!about.not_keyed_since) {
            about.not_keyed_since = history.end_frame();
        }
    }
    const Choice choice = choose(choice_config, candidates(), followed(), moved_hz());
    for (const int tone : choice.not_keyed) {
        end_place(tone, false, out);
    }
    for (const int tone : choice.yield) {
        end_place(tone, true, out);
    }
    for (const int tone : choice.take_up) {
        take_up(tone, out);
    }
}

void Watch::State::take_up(int tone, std::vector<Event>& out) {
    const Known& about = known.at(tone);
    ListenerConfig listener_config;
    listener_config.tone = tone;
    listener_config.pitch_hz = about.event.pitch_hz;
    listener_config.pitch_error_hz = kFinderPitchErrorHz;
    listener_config.speed_wpm = config.speed_wpm;
    listener_config.text = config.text;
    listener_config.calls = config.calls;
    listener_config.lag_s = config.lag_s;
    listener_config.provisional = config.provisional;
    listener_config.copy_from =
        std::max(about.copied_until, about.first_frame - frames_from_seconds(kBeforeFoundS));
    const double moved = moved_hz();
    Result<Listener> listener = Listener::start(listener_config, history, out);
    if (!listener) {
        // The finder names no pitch a follower would refuse; if it ever does, the operator is told.
        out.emplace_back(NoteEvent{history.end_frame(), listener.error().message});
        return;
    }
    places.push_back({std::move(*listener), moved});
}

void Watch::State::end_place(int tone, bool keep_open_text, std::vector<Event>& out) {
    const auto place = std::find_if(places.begin(), places.end(),
                                    [&](const Place& p) { return p.listener.tone() == tone; });
    if (keep_open_text || place->listener.makes_sense()) {
        place->listener.finish(out);
    }
    moved_before_hz = moved_hz();
    known.at(tone).copied_until = history.end_frame();
    summaries.add(place->listener.summary());
    places.erase(place);
}

void Watch::State::finish(std::vector<Event>& out) {
    if (!step_audio.empty()) {
        step(out);
    }
    lost_audio.end(taken, out);
    if (config.tones > 0) {
        decide(out);
    }
    while (!places.empty()) {
        const int tone = places.front().listener.tone();
        end_place(tone, !known.at(tone).not_keyed_since, out);
    }
    // Keyed tones there was no place for are told too, without text.
    for (const auto& [tone, about] : known) {
        if (about.was_keyed) {
            ToneSummary summary;
            summary.tone = tone;
            summary.pitch_hz = about.event.pitch_hz;
            summary.snr_2500hz_db = about.event.snr_2500hz_db;
            summaries.add(summary);
        }
    }
    out.emplace_back(SummaryEvent{seconds_from_frames(taken), summaries.in_order()});
}

Result<Watch> Watch::create(const WatchConfig& config) {
    if (Status status = check(config); !status) {
        return status.error();
    }
    ChoiceConfig choice;
    choice.told_hz = config.pitch_hz;
    choice.tones = config.tones;
    choice.from_hz = kMinPitchHz;
    choice.to_hz = kMaxPitchHz;
    if (config.pitch_hz) {
        choice.from_hz = std::max(kMinPitchHz, *config.pitch_hz - config.span_hz);
        choice.to_hz = std::min(kMaxPitchHz, *config.pitch_hz + config.span_hz);
    }
    choice.yield_after_s = std::min(choice.yield_after_s, 0.75 * config.lookback_s);
    tone::FinderConfig finder_config;
    finder_config.low_hz = choice.from_hz;
    finder_config.high_hz = choice.to_hz;
    finder_config.false_alarms_per_hour = config.false_alarms_per_hour;
    Result<tone::Finder> finder = tone::Finder::create(finder_config);
    if (!finder) {
        return finder.error();
    }
    return Watch(std::make_unique<State>(config, choice, std::move(*finder)));
}

Watch::Watch(std::unique_ptr<State> state) : state_(std::move(state)) {}
Watch::Watch(Watch&&) noexcept = default;
Watch& Watch::operator=(Watch&&) noexcept = default;
Watch::~Watch() = default;

void Watch::process(const Block& block, std::vector<Event>& out) {
    state_->lost_audio.note(block.lost, !block.audio.empty(), block.lost_reason, state_->taken,
                            out);
    state_->take(block.audio, block.lost, out);
}

void Watch::finish(std::vector<Event>& out) { state_->finish(out); }

std::vector<ToneSummary> Watch::followed() const {
    std::vector<ToneSummary> all;
    for (const State::Place& place : state_->places) {
        all.push_back(place.listener.summary());
        all.back().text.clear();
    }
    return all;
}

}  // namespace skedlark::watch
