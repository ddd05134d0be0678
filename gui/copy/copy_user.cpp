#include "gui/copy/copy_user.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "dsp/watch/tone_choice.h"

namespace skedlark::gui {

namespace {

constexpr double kTellFollowedS = 0.25;
constexpr std::size_t kMostRowsWaiting = static_cast<std::size_t>(kKeptS / kRowHopS);
constexpr std::ptrdiff_t kRowsDropped = 1000;  // at once, so that a sleeping window costs nothing
// The picture stays where it is until the followed tone is this share of the span off its middle.
constexpr double kOffMiddle = 0.25;

void shift(Event& event, FrameIndex by) {
    std::visit(
        [by](auto& e) {
            using E = std::decay_t<decltype(e)>;
            if constexpr (std::is_same_v<E, CharEvent> || std::is_same_v<E, SendingEvent> ||
                          std::is_same_v<E, AudioLostEvent>) {
                e.from_frame += by;
                e.to_frame += by;
            } else if constexpr (!std::is_same_v<E, SummaryEvent>) {
                e.at_frame += by;
            }
        },
        event);
}

}  // namespace

bool CopySettings::same_watch(const CopySettings& other) const {
    const watch::WatchConfig &a = watch, &b = other.watch;
    return a.pitch_hz == b.pitch_hz && a.span_hz == b.span_hz && a.tones == b.tones &&
           a.speed_wpm == b.speed_wpm && a.text == b.text && a.calls == b.calls &&
           a.lag_s == b.lag_s;
}

CopyUser::CopyUser() { wanted_.watch.provisional = true; }

void CopyUser::set(const CopySettings& settings) {
    const std::lock_guard lock(mutex_);
    wanted_ = settings;
    wanted_.watch.provisional = true;
    changed_ = true;
}

void CopyUser::begin(const HeardInput& input) {
    CopySettings settings;
    {
        const std::lock_guard lock(mutex_);
        settings = wanted_;
        changed_ = false;
        news_ = {};
        news_.began = input;
    }
    watch_.reset();
    strip_.reset();
    known_.clear();
    numbers_.clear();
    picture_hz_ = settings.watch.pitch_hz.value_or(kPictureHz);
    used_ = settings;
}

void CopyUser::take(const watch::Block& block, FrameIndex first_frame) {
    if (!watch_) {
        at_ = watch_from_ = first_frame;
        looked_ = first_frame;
        {
            const std::lock_guard lock(mutex_);
            audio_.start(first_frame);
        }
        renew(used_);
    }
    std::optional<CopySettings> fresh;
    {
        const std::lock_guard lock(mutex_);
        if (changed_) fresh = wanted_;
        changed_ = false;
        audio_.add(block.audio);
    }
    if (fresh) {
        const bool same = fresh->same_watch(used_);
        if (same) {
            used_ = *fresh;
        } else {
            renew(*fresh);
        }
    }
    look(used_);
    hear(block);
    draw(block.audio);
    const std::lock_guard lock(mutex_);
    news_.heard_to = at_;
}

void CopyUser::end() {
    if (!watch_) return;
    std::vector<Event> events;
    watch_->finish(events);
    rename(events);
    post(std::move(events));
    watch_.reset();
    const std::lock_guard lock(mutex_);
    news_.ended = true;
}

// A new Watch from what is kept of the audio. Where it listens elsewhere, what is open of the old
// one's text becomes final; else the new one reads that again.
void CopyUser::renew(const CopySettings& settings) {
    auto made = watch::Watch::create(settings.watch);
    if (!made) {
        post({NoteEvent{at_, made.error().message}});
        if (watch_) return;
        made = watch::Watch::create({});
    }
    if (watch_ && settings.watch.pitch_hz != used_.watch.pitch_hz) {
        std::vector<Event> events;
        watch_->finish(events);
        std::erase_if(events,
                      [](const Event& e) { return std::holds_alternative<SummaryEvent>(e); });
        rename(events);
        post(std::move(events));
    }
    watch_ = std::move(*made);
    used_ = settings;
    numbers_.clear();
    watch_from_ = at_;
    replay();
}

void CopyUser::replay() {
    std::vector<float> again;
    {
        const std::lock_guard lock(mutex_);
        // The block in hand is in the ring already, and is heard by itself.
        watch_from_ = std::max(audio_.begin_frame(), at_ - frames_from_seconds(kHearAgainS));
        watch_from_ = std::min(watch_from_, at_);
        again = audio_.stretch(watch_from_, at_);
    }
    if (again.empty()) return;
    std::vector<Event> events;
    watch_->process({again, false, {}}, events);
    // What is lost or said about the audio was told the first time.
    std::erase_if(events, [](const Event& event) {
        return std::holds_alternative<NoteEvent>(event) ||
               std::holds_alternative<AudioLostEvent>(event);
    });
    rename(events);
    post(std::move(events));
}

void CopyUser::hear(const watch::Block& block) {
    std::vector<Event> events;
    watch_->process(block, events);
    at_ += static_cast<FrameIndex>(block.audio.size());
    rename(events);
    post(std::move(events));
}

int CopyUser::number_of(const ToneEvent& tone) {
    const auto entry = numbers_.find(tone.tone);
    if (entry != numbers_.end()) return entry->second;
    int ours = 0;
    for (const auto& [number, about] : known_) {
        const bool taken = std::any_of(numbers_.begin(), numbers_.end(),
                                       [&](const auto& pair) { return pair.second == number; });
        if (!taken && std::abs(about.pitch_hz - tone.pitch_hz) < watch::kSameToneHz) ours = number;
    }
    if (ours == 0) ours = known_.empty() ? 1 : known_.rbegin()->first + 1;
    numbers_[tone.tone] = ours;
    return ours;
}

// From the numbers and times of this Watch to those of the input; characters that an earlier Watch
// has given already are left out.
void CopyUser::rename(std::vector<Event>& events) {
    std::erase_if(events, [&](Event& event) {
        shift(event, watch_from_);
        if (auto* tone = std::get_if<ToneEvent>(&event)) {
            tone->tone = number_of(*tone);
            known_[tone->tone].pitch_hz = tone->pitch_hz;
        } else if (auto* moved = std::get_if<PitchMovedEvent>(&event)) {
            moved->tone = numbers_.contains(moved->tone) ? numbers_[moved->tone] : moved->tone;
            known_[moved->tone].pitch_hz = moved->to_hz;
        } else if (auto* call = std::get_if<CallEvent>(&event)) {
            call->tone = numbers_.contains(call->tone) ? numbers_[call->tone] : call->tone;
        } else if (auto* read = std::get_if<CharEvent>(&event)) {
            read->tone = numbers_.contains(read->tone) ? numbers_[read->tone] : read->tone;
            Known& about = known_[read->tone];
            const FrameIndex middle = read->from_frame + (read->to_frame - read->from_frame) / 2;
            if (middle < about.read_to) return true;
            if (read->final) about.read_to = read->to_frame;
        } else if (auto* summary = std::get_if<SummaryEvent>(&event)) {
            for (ToneSummary& one : summary->tones) {
                if (numbers_.contains(one.tone)) one.tone = numbers_[one.tone];
            }
        }
        return false;
    });
}

void CopyUser::post(std::vector<Event> events) {
    const std::lock_guard lock(mutex_);
    std::move(events.begin(), events.end(), std::back_inserter(news_.events));
}

// Where the picture looks: at the pitch told, else at the tone followed.
void CopyUser::look(const CopySettings& settings) {
    if (seconds_from_frames(at_ - looked_) >= kTellFollowedS) {
        looked_ = at_;
        auto followed = watch_->followed();
        for (ToneSummary& tone : followed) {
            if (numbers_.contains(tone.tone)) tone.tone = numbers_[tone.tone];
            known_[tone.tone].pitch_hz = tone.pitch_hz;
        }
        const double span_hz = settings.picture_span_hz;
        if (!settings.watch.pitch_hz && !followed.empty() &&
            std::abs(followed.front().pitch_hz - picture_hz_) > kOffMiddle * span_hz) {
            picture_hz_ = followed.front().pitch_hz;
        }
        const std::lock_guard lock(mutex_);
        news_.followed = std::move(followed);
    }
    if (settings.watch.pitch_hz) picture_hz_ = *settings.watch.pitch_hz;
    // A span that reaches below zero is cut there, and the pitch stays in the middle.
    const double span_hz =
        std::min({settings.picture_span_hz, picture_hz_, 0.5 * kWorkRateHz - picture_hz_});
    if (!strip_) {
        spectrum::StripConfig config;
        config.low_hz = picture_hz_ - span_hz;
        config.high_hz = picture_hz_ + span_hz;
        config.hop_s = kRowHopS;
        config.points = kRowPoints;
        auto made = spectrum::Strip::create(config);
        if (!made) return;
        strip_ = std::move(*made);
        strip_from_ = at_;
    } else {
        (void)strip_->look_at(picture_hz_ - span_hz, picture_hz_ + span_hz);
    }
    picture_span_hz_ = span_hz;
    const std::lock_guard lock(mutex_);
    news_.picture_hz = picture_hz_;
}

void CopyUser::draw(std::span<const float> audio) {
    if (!strip_) return;
    strip_->process(audio, [&](std::span<const float> points) {
        row_.clear();
        for (const float db : points) row_.push_back(byte_of_db(db));
        const RowInfo info{strip_from_ + strip_->row_centre_frame(),
                           static_cast<float>(picture_hz_), static_cast<float>(picture_span_hz_)};
        const std::lock_guard lock(mutex_);
        if (news_.row_infos.size() >= kMostRowsWaiting) {
            news_.row_infos.erase(news_.row_infos.begin(), news_.row_infos.begin() + kRowsDropped);
            news_.row_bytes.erase(news_.row_bytes.begin(),
                                  news_.row_bytes.begin() + kRowsDropped * kRowPoints);
        }
        news_.row_infos.push_back(info);
        news_.row_bytes.insert(news_.row_bytes.end(), row_.begin(), row_.end());
    });
}

CopyNews CopyUser::news() {
    CopyNews taken;
    const std::lock_guard lock(mutex_);
    taken.picture_hz = news_.picture_hz;
    taken.heard_to = news_.heard_to;
    taken.followed = news_.followed;
    std::swap(taken, news_);
    news_.picture_hz = taken.picture_hz;
    news_.heard_to = taken.heard_to;
    news_.followed = taken.followed;
    return taken;
}

std::vector<float> CopyUser::audio(FrameIndex from, FrameIndex to) const {
    const std::lock_guard lock(mutex_);
    return audio_.stretch(from, to);
}

}  // namespace skedlark::gui
