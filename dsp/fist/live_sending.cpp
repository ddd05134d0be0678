#include "dsp/fist/live_sending.h"

#include <algorithm>
#include <cmath>

namespace skedlark::fist {
namespace {

// Marks older than kSettledS are measured for good; kBeforeS of audio before them stays, for level
// and edges of those that follow. Until a tone is found, the last kWaitingS are kept.
constexpr double kSettledS = 8.0;
constexpr double kBeforeS = 4.0;
constexpr double kWindowS = 16.0;
constexpr double kWaitingS = 30.0;
// A mark that touches the end is not over.
constexpr double kOpenS = 0.05;
// From so many marks on the speed found is believed, and looked for anew but now and then.
constexpr std::size_t kSureMarks = 60;
constexpr int kAnewEvery = 10;

std::vector<HeardTone> keyed_now(const tone::Finder& finder) {
    std::vector<HeardTone> out;
    for (const tone::FoundTone& one : finder.tones()) {
        if (!one.event.keyed.value_or(false)) continue;
        out.push_back({one.event.pitch_hz, one.event.snr_2500hz_db});
    }
    std::stable_sort(out.begin(), out.end(), [](const HeardTone& a, const HeardTone& b) {
        return a.snr_2500hz_db > b.snr_2500hz_db;
    });
    return out;
}

}  // namespace

Result<LiveSending> LiveSending::create(const LiveSendingConfig& config) {
    auto finder = tone::Finder::create({});
    if (!finder) return finder.error();
    return LiveSending(config, std::move(*finder));
}

void LiveSending::add(std::span<const float> audio, bool lost) {
    finder_.process(audio, found_, lost);
    found_.clear();
    window_.insert(window_.end(), audio.begin(), audio.end());
    if (follower_) {
        follow(audio, lost);
    } else {
        const auto now = window_from_ + static_cast<FrameIndex>(window_.size());
        forget_before(now - skedlark::frames_from_seconds(kWaitingS));
        look_for_tone();
    }
}

void LiveSending::look_for_tone() {
    const auto tones = keyed_now(finder_);
    if (tones.empty()) return;
    double pitch_hz = tones.front().pitch_hz;
    if (config_.pitch_hz) {
        const auto nearest = std::min_element(tones.begin(), tones.end(),
                                              [&](const HeardTone& a, const HeardTone& b) {
                                                  return std::abs(a.pitch_hz - *config_.pitch_hz) <
                                                         std::abs(b.pitch_hz - *config_.pitch_hz);
                                              });
        if (std::abs(nearest->pitch_hz - *config_.pitch_hz) > kPitchReachHz) return;
        pitch_hz = nearest->pitch_hz;
    }
    auto follower = settled_follower(window_, pitch_hz, window_from_);
    if (!follower) return;
    follower_.emplace(std::move(*follower));
    follow(window_, false);
}

// Which of two is found first is chance: as long as nothing is measured for good, the louder one
// takes its place.
void LiveSending::follow_the_loudest(const std::vector<HeardTone>& tones) {
    if (config_.pitch_hz || settled_ > 0 || tones.empty()) return;
    if (std::abs(tones.front().pitch_hz - follower_->pitch_hz()) < kAnotherSenderHz) return;
    auto follower = settled_follower(window_, tones.front().pitch_hz, window_from_);
    if (!follower) return;
    follower_.emplace(std::move(*follower));
    track_.clear();
    follow(window_, false);
}

void LiveSending::follow(std::span<const float> audio, bool lost) {
    follower_->process(audio, track_, nullptr, lost);
    replace_revised(track_, follower_->revised_frames());
}

void LiveSending::forget_before(FrameIndex frame) {
    if (frame <= window_from_) return;
    const auto gone = std::min(static_cast<std::size_t>(frame - window_from_), window_.size());
    window_.erase(window_.begin(), window_.begin() + static_cast<std::ptrdiff_t>(gone));
    window_from_ += static_cast<FrameIndex>(gone);
    std::erase_if(track_,
                  [&](const tone::BasebandFrame& one) { return one.at_frame < window_from_; });
}

void LiveSending::measure() {
    std::vector<tone::BasebandFrame> track = track_;
    for (tone::BasebandFrame& one : track) one.at_frame -= window_from_;
    if (track.empty()) return;
    const auto known = std::min(window_.size(), static_cast<std::size_t>(track.back().at_frame));
    const FineBaseband tone = bring_down(std::span(window_).first(known), track);
    Keying measured = measure_edges(tone, find_marks(tone));
    const double from_s = seconds_from_frames(window_from_);
    const double end_s = from_s + tone.seconds();
    keying_.marks.resize(settled_);
    const double settled_to_s = settled_ > 0 ? keying_.marks.back().off_s : -1.0;
    for (MeasuredMark mark : measured.marks) {
        mark.on_s += from_s;
        mark.off_s += from_s;
        if (mark.on_s <= settled_to_s || mark.off_s > end_s - kOpenS) continue;
        keying_.marks.push_back(mark);
        if (mark.off_s < end_s - kSettledS) settled_ = keying_.marks.size();
    }
    keying_.snr_2500hz_db = measured.snr_2500hz_db;
    keying_.rise_s = measured.rise_s;
    keying_.fall_s = measured.fall_s;
    if (tone.seconds() > kWindowS) {
        forget_before(skedlark::frames_from_seconds(end_s - kSettledS - kBeforeS));
    }
}

LiveFigures LiveSending::figures() {
    LiveFigures out;
    out.heard_s = seconds_from_frames(window_from_ + static_cast<FrameIndex>(window_.size()));
    out.tones = keyed_now(finder_);
    if (!follower_) return out;
    follow_the_loudest(out.tones);
    out.pitch_hz = follower_->pitch_hz();
    measure();
    GradeOptions options;
    if (asked_++ % kAnewEvery != 0) options.speed_wpm = speed_wpm_;
    auto judged = grade_marks(keying_, options);
    if (!judged) return out;
    speed_wpm_.reset();
    const double wpm = judged->statistics.character_wpm;
    if (keying_.marks.size() >= kSureMarks && wpm >= kMinSpeedWpm && wpm <= kMaxSpeedWpm) {
        speed_wpm_ = wpm;
    }
    judged->seconds = out.heard_s;
    judged->pitch_hz = out.pitch_hz;
    out.grade = std::move(*judged);
    return out;
}

}  // namespace skedlark::fist
