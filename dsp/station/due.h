// What is due when.
//
// Stage:   station. In: Plan, an instant. Out: the contacts to come, in order of time.
// Units:   instants of UTC.
// Shape:   a contact counts as long as one of its fallbacks is still to come.
// Time:    switch_on to end is when the set draws current.
// Errors:  none; an empty list: nothing is due any more.
// Threads: all functions are pure.
// Source:  none
// Checked: tests/dsp/station/due_test.cpp
#pragma once

#include <optional>
#include <vector>

#include "dsp/station/plan.h"

namespace skedlark::station {

struct Occurrence {
    std::size_t contact = 0;  // index in the plan
    UtcTime start{};
    UtcTime end{};
    UtcTime switch_on{};
    UtcTime last_end{};  // of the last fallback, or end
};

[[nodiscard]] Occurrence occurrence_at(const Plan& plan, std::size_t contact, UtcTime start);
// Those that are not over at `from`, the soonest first; at most `count`.
[[nodiscard]] std::vector<Occurrence> due_from(const Plan& plan, UtcTime from, std::size_t count);
// All that begin from `from` to before `to`; at most kMostDue of them.
inline constexpr std::size_t kMostDue = 5000;
[[nodiscard]] std::vector<Occurrence> due_between(const Plan& plan, UtcTime from, UtcTime to);
// The last one that began before `before`, of any contact.
[[nodiscard]] std::optional<Occurrence> last_before(const Plan& plan, UtcTime before);

}  // namespace skedlark::station
