// What the transmitter must be set to for an answer: crystal and switch position.
//
// Stage:   station. In: Plan and a channel of it. Out: crystal, band, what goes out on the air.
// Units:   kilohertz.
// Shape:   a crystal named by the channel, or the one nearest to answer_khz.
// Errors:  none: what is missing is said in `problem`.
// Threads: all functions are pure.
// Source:  none
// Checked: tests/dsp/station/answer_test.cpp
#pragma once

#include <optional>
#include <string>

#include "dsp/station/plan.h"

namespace skedlark::station {

struct Answer {
    bool wanted = false;  // false: a contact that is only listened to
    std::optional<Crystal> crystal{};
    std::optional<TransmitterBand> band{};
    double khz = 0.0;       // on the air; 0 where it cannot be
    std::string problem{};  // empty: all is there
};

[[nodiscard]] Answer find_answer(const Plan& plan, const Channel& channel);

}  // namespace skedlark::station
