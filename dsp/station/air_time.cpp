#include "dsp/station/air_time.h"

#include <fmt/format.h>

#include <cmath>

#include "dsp/core/units.h"
#include "dsp/morse/timing.h"

namespace skedlark::station {

namespace {

double length_s(morse::ElementKind kind, const HandLengths& hand) {
    switch (kind) {
        case morse::ElementKind::dot:
            return hand.dot_s;
        case morse::ElementKind::dash:
            return hand.dash_s;
        case morse::ElementKind::element_gap:
            return hand.element_gap_s;
        case morse::ElementKind::character_gap:
            return hand.character_gap_s;
        case morse::ElementKind::word_gap:
            return hand.word_gap_s;
    }
    return 0.0;
}

bool can_be(double seconds) { return seconds > 0.0 && seconds < 60.0; }

}  // namespace

Result<HandLengths> hand_at_speed(double speed_wpm) {
    if (!(speed_wpm >= kMinSpeedWpm && speed_wpm <= kMaxSpeedWpm)) {
        return Error{ErrorCode::invalid_value, fmt::format("speed_wpm: {}, allowed {} to {}",
                                                           speed_wpm, kMinSpeedWpm, kMaxSpeedWpm)};
    }
    const double dot_s = dit_s(speed_wpm);
    return HandLengths{dot_s, morse::kDashUnits * dot_s, dot_s, morse::kCharacterGapUnits * dot_s,
                       morse::kWordGapUnits * dot_s};
}

Result<HandLengths> hand_measured(const TimingSummary& timing) {
    if (!can_be(timing.dot_s)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("dot_s: {}, allowed above 0 and below 60 s: no hand was measured",
                                 timing.dot_s)};
    }
    const double dot_s = timing.dot_s;
    const auto or_standard = [&](double measured_s, double units) {
        return can_be(measured_s) ? measured_s : units * dot_s;
    };
    return HandLengths{dot_s, or_standard(timing.dash_s, morse::kDashUnits),
                       or_standard(timing.element_gap_s, morse::kElementGapUnits),
                       or_standard(timing.character_gap_s, morse::kCharacterGapUnits),
                       or_standard(timing.word_gap_s, morse::kWordGapUnits)};
}

double speed_of(const HandLengths& hand) {
    const auto word_s = air_time_s("PARIS", hand);
    return word_s ? 60.0 / *word_s : 0.0;
}

Result<double> air_time_s(std::string_view text, const HandLengths& hand) {
    const auto elements = morse::timed_elements(text, {}, true);
    if (!elements) return elements.error();
    double total_s = 0.0;
    for (const morse::TimedElement& element : *elements) total_s += length_s(element.kind, hand);
    return total_s;
}

double share_for_sending(const Battery& battery, double air_s) {
    return air_s / 3600.0 / battery.send_h;
}

}  // namespace skedlark::station
