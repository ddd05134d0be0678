// What a reader is told beside the text: tones, moves of pitch, lost audio, notes, the summary.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/text_view.h"
#include "dsp/core/units.h"

namespace skedlark::cli {

namespace {

constexpr double kJumpHz = 20.0;
// Of tones without text, so many are named in the summary, strongest first.
constexpr std::size_t kNamedTones = 4;

std::string at(FrameIndex frame) { return clock_text(seconds_from_frames(frame)); }

// "n/a" where nothing was measured.
std::string shown(double value, const char* unit, int decimals) {
    return std::isfinite(value) ? fmt::format("{:.{}f}{}", value, decimals, unit) : "n/a";
}

std::string shown_odds(double odds) {
    return odds < 1.0e-9 ? "under 1 in 1e9" : fmt::format("1 in {:.3g}", 1.0 / odds);
}

struct Remark {
    std::string operator()(const ToneEvent& e) const {
        const char* kind = !e.keyed   ? "not known yet whether keyed"
                           : *e.keyed ? "keyed"
                                      : "not keyed";
        return fmt::format("-- {} tone {}: {} at {}, {}, false alarm {}", at(e.at_frame), e.tone,
                           shown(e.pitch_hz, " Hz", 1), shown(e.snr_2500hz_db, " dB", 1), kind,
                           shown_odds(e.false_alarm_odds));
    }
    std::string operator()(const PitchMovedEvent& e) const {
        if (std::abs(e.to_hz - e.from_hz) < kJumpHz) {
            return {};  // drift is followed without a word
        }
        return fmt::format("-- {} tone {}: pitch moved from {} to {}", at(e.at_frame), e.tone,
                           shown(e.from_hz, " Hz", 1), shown(e.to_hz, " Hz", 1));
    }
    std::string operator()(const CallEvent& e) const {
        return fmt::format("-- {} tone {}: {} was sent, about {:.0f} wpm", at(e.at_frame), e.tone,
                           e.call, e.speed_wpm);
    }
    std::string operator()(const SendingEvent& e) const {
        return fmt::format("-- {} own sending until {}", at(e.from_frame), at(e.to_frame));
    }
    std::string operator()(const AudioLostEvent& e) const {
        const double length_s = seconds_from_frames(e.to_frame - e.from_frame);
        return length_s > 0.0 ? fmt::format("-- {} audio lost for {:.3f} s: {}", at(e.from_frame),
                                            length_s, e.reason)
                              : fmt::format("-- {} audio lost: {}", at(e.from_frame), e.reason);
    }
    std::string operator()(const NoteEvent& e) const {
        return fmt::format("-- {} {}", at(e.at_frame), e.text);
    }
    std::string operator()(const CharEvent&) const { return {}; }
    std::string operator()(const SummaryEvent&) const { return {}; }
};

std::string ms(double seconds) {
    return std::isfinite(seconds) ? fmt::format("{:.0f}", 1000.0 * seconds) : "n/a";
}

std::string percent(double ratio) {
    return std::isfinite(ratio) ? fmt::format("{:.0f} %", 100.0 * ratio) : "n/a";
}

std::string line_of_others(std::vector<ToneSummary> tones) {
    std::stable_sort(tones.begin(), tones.end(), [](const ToneSummary& a, const ToneSummary& b) {
        return a.snr_2500hz_db > b.snr_2500hz_db;
    });
    std::string line = "-- keyed too, but not copied:";
    for (std::size_t i = 0; i < std::min(tones.size(), kNamedTones); ++i) {
        line += fmt::format("{} {} ({})", i > 0 ? "," : "", shown(tones[i].pitch_hz, " Hz", 0),
                            shown(tones[i].snr_2500hz_db, " dB", 0));
    }
    return tones.size() > kNamedTones
               ? fmt::format("{} and {} more", line, tones.size() - kNamedTones)
               : line;
}

}  // namespace

std::string clock_text(double seconds) {
    const auto whole = static_cast<long long>(seconds);
    return whole < 3600 ? fmt::format("{}:{:02}", whole / 60, whole % 60)
                        : fmt::format("{}:{:02}:{:02}", whole / 3600, whole / 60 % 60, whole % 60);
}

std::string remark(const Event& event) { return std::visit(Remark{}, event); }

std::vector<std::string> summary_lines(const SummaryEvent& summary) {
    std::vector<std::string> lines;
    std::vector<ToneSummary> others;
    for (const ToneSummary& tone : summary.tones) {
        if (tone.text.empty()) {
            others.push_back(tone);
            continue;
        }
        const TimingSummary& t = tone.timing;
        lines.push_back(
            fmt::format("-- tone {}: {} ({:+.1f} Hz/min), {} in 2500 Hz, {}, {} sure", tone.tone,
                        shown(tone.pitch_hz, " Hz", 1), tone.pitch_drift_hz_per_min,
                        shown(tone.snr_2500hz_db, " dB", 1), shown(tone.speed_wpm, " wpm", 1),
                        percent(tone.mean_confidence)));
        lines.push_back(
            fmt::format("--   {} marks: dot {} ms, dash {} ms ({} : 1), gaps {} / {} / {} ms",
                        t.marks, ms(t.dot_s), ms(t.dash_s), shown(t.dash_to_dot, "", 2),
                        ms(t.element_gap_s), ms(t.character_gap_s), ms(t.word_gap_s)));
        lines.push_back(fmt::format("--   spread of dots {}, of dashes {}", percent(t.dot_cv),
                                    percent(t.dash_cv)));
    }
    if (!others.empty()) {
        lines.push_back(line_of_others(std::move(others)));
    }
    const char* nothing = summary.tones.empty() ? ", no keyed tone heard" : "";
    lines.push_back(fmt::format("-- {} of audio{}", clock_text(summary.seconds), nothing));
    return lines;
}

}  // namespace skedlark::cli
