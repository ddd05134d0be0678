// Setting the kit up from a schedule, as practice: what is asked, and the marks of the answers.
//
// Stage:   station. In: a plan, a receiver, the trainee's answers. Out: a task; a mark for each answer.
// Units:   kilohertz, divisions.
// Shape:   a task is a contact of the plan or one of its fallbacks, or an invented one in its style.
// Time:    none.
// Errors:  make_set_up() returns not_found where plan and receiver have nothing in common.
// Threads: pure; the same seed gives the same task.
// Source:  a division is right within the 95 % of its setting (dial.h): nobody can do better by the
//          chart.
// Checked: tests/dsp/station/set_up_drill_test.cpp
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "dsp/dial/dial.h"
#include "dsp/station/answer.h"
#include "dsp/station/plan.h"

namespace skedlark::station {

struct SetUpTask {
    std::string contact{};  // "evening", "evening, fallback 1", "invented"
    std::string own_call{};
    std::string base_call{};
    double receive_khz = 0.0;
    Answer answer{};  // what is to be found; answer.khz is told, the rest is not
};
[[nodiscard]] Result<SetUpTask> make_set_up(const Plan& plan, const dial::Receiver& receiver,
                                            std::uint64_t seed);
// "QVA7 receives QXB2 on 3570 kHz and answers on 3562.5 kHz."
[[nodiscard]] std::string in_words(const SetUpTask& task);

struct SetUpAnswer {
    std::string band{};  // of the receiver
    std::optional<double> division{};
    std::string crystal{};   // "" or "none": no answer is sent
    std::string position{};  // of the transmitter's switch
};

struct SetUpMark {
    std::string what;  // "band", "division", "crystal", "switch"
    bool right = false;
    std::string said;  // a sentence
};
// known: stations that correct the chart.
[[nodiscard]] std::vector<SetUpMark> mark_set_up(const SetUpTask& task, const SetUpAnswer& answer,
                                                 const dial::Receiver& receiver,
                                                 const std::vector<dial::KnownStation>& known = {});

}  // namespace skedlark::station
