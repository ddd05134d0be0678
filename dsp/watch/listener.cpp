#include "dsp/watch/listener.h"

#include <algorithm>

namespace skedlark::watch {

namespace {
// The tone counts as there above this chance.
constexpr double kThere = 0.5;
// Text this long and this sure is no accident of noise.
constexpr std::size_t kSenseCharacters = 5;
constexpr double kSenseConfidence = 0.75;
// No keyed note is truer to "full level or nothing" than this, as power against the tone's: edges,
// the filter's ringing and rounding stay. Where less noise than this comes in, it stands for them,
// or the search takes every edge for evidence against Morse. 20 dB in the 200 Hz of a frame, so
// that nothing changes below 9 dB SNR in 2500 Hz. Tried 1e-2, 3e-3, 1e-4: from 20 dB SNR on only
// the first copies. Moves with it: Watch.CopiesStrongSignals.
constexpr double kKeyingFloor = 1.0e-2;
}  // namespace

Listener::Listener(const ListenerConfig& config, tone::Follower follower, tone::SpreadTest spread,
                   copy::Copier copier, std::optional<copy::CallSearch> calls)
    : config_(config),
      follower_(std::move(follower)),
      spread_(std::move(spread)),
      copier_(std::move(copier)),
      calls_(std::move(calls)),
      heard_at_(follower_.next_frame()) {}

Result<Listener> Listener::start(const ListenerConfig& config, const AudioHistory& history,
                                 std::vector<Event>& out) {
    tone::FollowerConfig follower_config;
    follower_config.tone = config.tone;
    follower_config.pitch_hz = config.pitch_hz;
    follower_config.pitch_error_hz = config.pitch_error_hz;
    follower_config.start_frame = history.end_frame();
    Result<tone::Follower> follower = tone::Follower::create(follower_config);
    if (!follower) {
        return follower.error();
    }
    copy::CopierConfig copier_config;
    copier_config.tone = config.tone;
    copier_config.speed_wpm = config.speed_wpm;
    copier_config.text = config.text;
    copier_config.lag_s = config.lag_s;
    copier_config.provisional = config.provisional;
    Result<copy::Copier> copier = copy::Copier::create(copier_config);
    if (!copier) {
        return copier.error();
    }
    std::optional<copy::CallSearch> calls;
    if (!config.calls.empty()) {
        Result<copy::CallSearch> search =
            copy::CallSearch::create({.calls = config.calls, .speed_wpm = config.speed_wpm});
        if (!search) {
            return search.error();
        }
        calls.emplace(*std::move(search));
    }
    Result<tone::SpreadTest> spread = tone::SpreadTest::create();
    if (!spread) {
        return spread.error();
    }
    const FrameIndex from = std::max(config.copy_from, history.begin_frame());
    std::vector<tone::BasebandFrame> unused;
    history.backwards(from, [&](std::span<const float> audio, bool lost) {
        unused.clear();
        follower->process(audio, unused, nullptr, lost);
    });
    follower->restart_keeping_pitch(from);
    Listener listener(config, std::move(*follower), std::move(*spread), std::move(*copier),
                      std::move(calls));
    history.forwards(
        from, [&](std::span<const float> audio, bool lost) { listener.process(audio, lost, out); });
    return listener;
}

void Listener::process(std::span<const float> audio, bool lost, std::vector<Event>& out) {
    fresh_.clear();
    follower_.process(audio, fresh_, &out, lost);
    raise_to_keying_floor();
    if (!lost) {
        spread_.process(audio, follower_.pitch_hz());
    }
    leave_out_speech();
    held_.insert(held_.end(), fresh_.begin(), fresh_.end());
    if (const auto revised = follower_.revised_frames(); !revised.empty()) {
        for (const tone::BasebandFrame& frame : revised) {
            const auto old = std::lower_bound(
                held_.begin(), held_.end(), frame.at_frame,
                [](const tone::BasebandFrame& f, FrameIndex at) { return f.at_frame < at; });
            if (old != held_.end() && old->at_frame == frame.at_frame) {
                *old = frame;
            }
        }
    }
    if (!lost && follower_.presence() > kThere) {
        heard_at_ = follower_.next_frame();
    }
    const auto hold_back = static_cast<std::size_t>(tone::frames_from_seconds(kHoldBackS));
    hand_on(config_.provisional ? 0 : hold_back, out);
}

void Listener::raise_to_keying_floor() {
    const double tone_power = 2.0 * power_from_db(follower_.snr_2500hz_db()) *
                              follower_.noise_density() * kReferenceBandwidthHz;
    const auto least = static_cast<float>(kKeyingFloor * tone_power);
    for (tone::BasebandFrame& frame : fresh_) {
        frame.noise_variance = std::max(frame.noise_variance, least);
    }
}

// What comes and goes with half the passband is no keyed tone: such frames speak for nothing.
void Listener::leave_out_speech() {
    if (!spread_.spread()) {
        return;
    }
    for (tone::BasebandFrame& frame : fresh_) {
        frame.lost = true;
    }
    for (tone::BasebandFrame& frame : held_) {
        frame.lost = true;
    }
}

void Listener::hand_on(std::size_t keep_back, std::vector<Event>& out) {
    if (held_.size() <= keep_back) {
        return;
    }
    const auto end = held_.end() - static_cast<std::ptrdiff_t>(keep_back);
    ready_.assign(held_.begin(), end);
    held_.erase(held_.begin(), end);
    copier_.process(ready_, out);
    look_for_calls(out);
}

void Listener::look_for_calls(std::vector<Event>& out) {
    if (!calls_) {
        return;
    }
    found_.clear();
    calls_->process(ready_, found_);
    for (const copy::CallFound& found : found_) {
        out.emplace_back(CallEvent{config_.tone, found.at_frame, calls_->calls()[found.call],
                                   found.log_odds, found.speed_wpm});
    }
}

void Listener::finish(std::vector<Event>& out) {
    hand_on(0, out);
    copier_.finish(out);
}

double Listener::silent_s() const {
    return seconds_from_frames(follower_.next_frame() - heard_at_);
}

bool Listener::makes_sense() const {
    const ToneSummary so_far = copier_.summary();
    return so_far.text.size() >= kSenseCharacters && so_far.mean_confidence >= kSenseConfidence;
}

ToneSummary Listener::summary() const {
    ToneSummary summary = copier_.summary();
    summary.tone = config_.tone;
    summary.pitch_hz = follower_.pitch_hz();
    summary.pitch_drift_hz_per_min = follower_.drift_hz_per_min();
    summary.snr_2500hz_db = follower_.snr_2500hz_db();
    return summary;
}

}  // namespace skedlark::watch
