#include "dsp/watch/stops.h"

#include <algorithm>

namespace skedlark::watch {
namespace {

// Live text is not waited for here.
constexpr double kLagS = kFileLagS;

FrameIndex frame_at(double at_s) { return static_cast<FrameIndex>(at_s * kWorkRateHz); }

}  // namespace

Result<Stops> Stops::create(std::vector<dial::Motion::Rest> rests, const StopsConfig& config) {
    auto calls = CallMatch::create(config.calls);
    if (!calls) return calls.error();
    Stops stops(std::move(rests), config, *std::move(calls));
    if (const Status right = check(stops.watching_); !right) return right.error();
    return stops;
}

Stops::Stops(std::vector<dial::Motion::Rest> rests, const StopsConfig& config, CallMatch calls)
    : rests_(std::move(rests)), config_(config), calls_(std::move(calls)) {
    watching_.tones = config_.tones;
    watching_.lag_s = kLagS;
    watching_.false_alarms_per_hour = config_.false_alarms_per_hour;
}

void Stops::process(std::span<const float> audio, bool lost) {
    while (!audio.empty()) {
        if (stop_ >= rests_.size()) return;
        const FrameIndex from = frame_at(rests_[stop_].from_s + kSettleS);
        const FrameIndex to = std::max(from, frame_at(rests_[stop_].to_s - kSettleS));
        const FrameIndex until = heard_ < from ? from : to;
        const auto taken = static_cast<std::size_t>(
            std::min<FrameIndex>(static_cast<FrameIndex>(audio.size()), until - heard_));
        if (heard_ >= from) hear(audio.first(taken), lost);
        heard_ += static_cast<FrameIndex>(taken);
        audio = audio.subspan(taken);
        if (heard_ >= to) end_stop();
    }
}

void Stops::hear(std::span<const float> audio, bool lost) {
    if (!watch_) {
        auto watch = Watch::create(watching_);
        if (!watch) return;  // create() has checked it
        watch_.emplace(*std::move(watch));
    }
    std::vector<Event> events;
    watch_->process({audio, lost, lost ? "lost" : ""}, events);
    take(events);
}

void Stops::take(const std::vector<Event>& events) {
    for (const Event& event : events) {
        if (const auto* tone = std::get_if<ToneEvent>(&event)) {
            StopTone& one = open_[tone->tone];
            one.rest = rests_[stop_];
            one.pitch_hz = tone->pitch_hz;
            one.keyed = tone->keyed;
            one.snr_2500hz_db = tone->snr_2500hz_db;
            one.false_alarm_odds = tone->false_alarm_odds;
        } else if (const auto* read = std::get_if<CharEvent>(&event)) {
            matches_.try_emplace(read->tone, calls_).first->second.add(*read);
        } else if (const auto* summary = std::get_if<SummaryEvent>(&event)) {
            for (const ToneSummary& copied : summary->tones) {
                const auto known = open_.find(copied.tone);
                if (known == open_.end() || copied.text.empty()) continue;
                known->second.text = copied.text;
                known->second.pitch_hz = copied.pitch_hz;
                known->second.snr_2500hz_db = copied.snr_2500hz_db;
            }
        }
    }
}

void Stops::end_stop() {
    if (watch_) {
        std::vector<Event> events;
        watch_->finish(events);
        take(events);
    }
    for (auto& [number, tone] : open_) {
        const auto match = matches_.find(number);
        if (match != matches_.end()) {
            tone.expected_call = match->second.expected();
            tone.other_call = match->second.other();
        }
        tones_.push_back(std::move(tone));
    }
    watch_.reset();
    open_.clear();
    matches_.clear();
    ++stop_;
}

void Stops::finish() {
    if (stop_ < rests_.size() && watch_) end_stop();
    stop_ = rests_.size();
}

}  // namespace skedlark::watch
