#include "dsp/log/watch_entry.h"

#include <algorithm>
#include <cmath>

#include "dsp/core/units.h"

namespace skedlark::log {

namespace {

std::string tenths(double seconds) {
    std::string text = std::to_string(std::round(10.0 * seconds) / 10.0);
    return text.substr(0, text.find('.') + 2) + " s";
}

// Keyed with text first, then keyed, then the others; strongest first among like ones.
bool is_likelier(const HeardStation& a, const HeardStation& b) {
    const auto rank = [](const HeardStation& one) {
        return !one.text.empty() ? 0 : one.keyed.value_or(false) ? 1 : !one.keyed ? 2 : 3;
    };
    if (rank(a) != rank(b)) return rank(a) < rank(b);
    return a.snr_2500hz_db > b.snr_2500hz_db;
}

}  // namespace

void WatchEntry::add(std::span<const Event> events) {
    for (const Event& event : events) {
        std::visit([this](const auto& one) { take(one); }, event);
    }
}

void WatchEntry::pass(FrameIndex frame) { reach(seconds_from_frames(frame)); }

void WatchEntry::take(const ToneEvent& event) {
    pass(event.at_frame);
    HeardStation& heard = heard_[event.tone];
    heard.tone = event.tone;
    heard.pitch_hz = event.pitch_hz;
    heard.keyed = event.keyed;
    heard.snr_2500hz_db = event.snr_2500hz_db;
    heard.false_alarm_odds = event.false_alarm_odds;
}

void WatchEntry::take(const CharEvent& event) {
    if (!event.final) return;
    pass(event.to_frame);
    HeardStation& heard = heard_[event.tone];
    heard.tone = event.tone;
    heard.text += event.procedure ? "[" + event.text + "]" : event.text;
}

void WatchEntry::take(const CallEvent& event) {
    pass(event.at_frame);
    if ((" " + called_ + ",").find(" " + event.call + ",") != std::string::npos) return;
    called_ += (called_.empty() ? "" : ", ") + event.call;
}

void WatchEntry::take(const AudioLostEvent& event) {
    pass(event.to_frame);
    lost_s_ += seconds_from_frames(event.to_frame - event.from_frame);
}

void WatchEntry::take(const SummaryEvent& event) {
    seconds_ = event.seconds;
    for (const ToneSummary& tone : event.tones) {
        HeardStation& heard = heard_[tone.tone];
        heard.tone = tone.tone;
        heard.pitch_hz = tone.pitch_hz;
        heard.snr_2500hz_db = tone.snr_2500hz_db;
        if (!heard.keyed) heard.keyed = true;  // the summary holds keyed tones only
        if (tone.text.empty()) continue;
        heard.text = tone.text;
        heard.speed_wpm = tone.speed_wpm;
        heard.confidence = tone.mean_confidence;
    }
}

void WatchEntry::end(const std::string& cut_short) {
    ended_ = true;
    cut_short_ = cut_short;
}

Entry WatchEntry::entry() const {
    Entry entry = entry_;
    entry.seconds = seconds_;
    for (const auto& [number, heard] : heard_) entry.stations.push_back(heard);
    std::stable_sort(entry.stations.begin(), entry.stations.end(), is_likelier);
    if (lost_s_ > 0.0) entry.measurements.push_back({"audio_lost_s", lost_s_});
    if (!ended_) return entry;
    const HeardStation best = entry.stations.empty() ? HeardStation{} : entry.stations.front();
    const bool read = best.text.find_first_not_of(" _") != std::string::npos;
    entry.outcome = read ? kCopied : best.keyed.value_or(false) ? kHeard : kMissed;
    std::string reason;
    if (entry.outcome == kHeard)
        reason = called_.empty() ? "a keyed tone was heard, but no text was read"
                                 : called_ + " called, but no text was read";
    if (entry.outcome == kMissed) reason = "no keyed tone was heard";
    if (!reason.empty() && lost_s_ > 0.0) reason += "; " + tenths(lost_s_) + " of audio were lost";
    if (!cut_short_.empty()) reason += (reason.empty() ? "" : "; ") + cut_short_;
    if (entry.reason.empty()) entry.reason = reason;
    return entry;
}

}  // namespace skedlark::log
