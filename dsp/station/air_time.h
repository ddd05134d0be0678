// How long a text is on the air at one operator's hand, and what it takes out of a battery.
//
// Stage:   station. In: text, lengths of the hand. Out: seconds, share of a charge.
// Units:   seconds.
// Shape:   text as an operator writes it, procedure signals in brackets.
// Time:    from the first mark to the word gap after the last.
// Errors:  invalid_value: text outside the Morse code, lengths or speeds that cannot be.
// Threads: all functions are pure.
// Source:  ITU-R M.1677-1 section 2 and the 50-unit word PARIS, where only a speed is known.
// Checked: tests/dsp/station/air_time_test.cpp
#pragma once

#include <string_view>

#include "dsp/core/events.h"
#include "dsp/core/result.h"
#include "dsp/station/plan.h"

namespace skedlark::station {

struct HandLengths {
    double dot_s = 0.1;
    double dash_s = 0.3;
    double element_gap_s = 0.1;
    double character_gap_s = 0.3;
    double word_gap_s = 0.7;
};

[[nodiscard]] Result<HandLengths> hand_at_speed(double speed_wpm);  // 4 to 60, standard ratios
// As measured from own sending. Gaps that were never measured (NaN) take the standard's ratio.
[[nodiscard]] Result<HandLengths> hand_measured(const TimingSummary& timing);
// Speed by PARIS that takes the same time: of the word itself, its gaps as this hand makes them.
[[nodiscard]] double speed_of(const HandLengths& hand);

[[nodiscard]] Result<double> air_time_s(std::string_view text, const HandLengths& hand);
// Share of a full charge that sending so long draws.
[[nodiscard]] double share_for_sending(const Battery& battery, double air_s);

}  // namespace skedlark::station
