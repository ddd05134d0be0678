#include <fmt/format.h>

#include "gui/fist/fist_model.h"
#include "gui/fist/fist_rows.h"

namespace skedlark::gui {

namespace {

std::string other_senders(const std::vector<fist::HeardTone>& tones, double graded_hz,
                          const char* verb) {
    if (tones.size() < 2) return "";
    std::string out = fmt::format(" {} senders at once: ", tones.size());
    for (std::size_t i = 0; i < tones.size(); ++i) {
        out += fmt::format("{}{:.0f} Hz", i == 0 ? "" : ", ", tones[i].pitch_hz);
    }
    return out + fmt::format("; the one at {:.0f} Hz is {}: choose with Sender.", graded_hz, verb);
}

}  // namespace

std::string FistModel::state_words() const {
    switch (phase_) {
        case FistPhase::idle:
            return hears_
                       ? "Ready: Ctrl+Return begins an attempt."
                       : "Ready. Listen to a sound input or file first (Ctrl+L), or grade a file.";
        case FistPhase::waiting:
            return "Begins with the first sound: start the input (Ctrl+L).";
        case FistPhase::measuring: {
            const std::string time = "Measuring, " + minutes_of(heard_s_) + ". ";
            if (live_.pitch_hz <= 0.0) return time + "No keying heard yet.";
            if (!live_.grade) {
                return time +
                       fmt::format("Keying at {:.0f} Hz: too few marks yet.", live_.pitch_hz);
            }
            return time +
                   fmt::format("Keying at {:.0f} Hz; score so far, without the text.",
                               live_.pitch_hz) +
                   other_senders(live_.tones, live_.pitch_hz, "followed");
        }
        case FistPhase::grading:
            return "Grading.";
        case FistPhase::failed:
            return "Not graded: " + failure_ + ".";
        case FistPhase::graded:
            break;
    }
    const fist::Grade& grade = *attempt_->grade;
    std::string out = attempt_->of_key
                          ? fmt::format("Graded: {} of keying.", minutes_of(grade.sent_s))
                          : fmt::format("Graded: {} of keying at {:.0f} Hz.",
                                        minutes_of(grade.sent_s), grade.pitch_hz);
    if (attempt_->cut_off) {
        out += fmt::format(" Only the first {:.0f} min are kept.", kLongestAttemptS / 60.0);
    }
    out += other_senders(senders(), grade.pitch_hz, "graded");
    if (!not_logged_.empty()) {
        out += " Not kept in the log: " + not_logged_;
    } else {
        out += who_.empty() ? " Not kept: no name." : " Kept for " + who_ + ".";
    }
    return out;
}

}  // namespace skedlark::gui
