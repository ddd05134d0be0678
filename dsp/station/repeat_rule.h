// When a contact comes round: the repeat rule as it is written, and the times it gives.
//
// Stage:   station. In: a rule, a first time. Out: times of UTC in order.
// Units:   UTC; a day is a day of UTC, whatever the clock on the wall does in summer.
// Shape:   "once", "daily", "weekly", "every 90 min", "every 6 h", "every 2 days", "Mon Wed Fri".
// Time:    weekdays keep the time of day of the first time; days before it do not count.
// Errors:  invalid_value, saying what is allowed.
// Threads: all functions are pure.
// Source:  none
// Checked: tests/dsp/station/repeat_rule_test.cpp
#pragma once

#include <optional>
#include <string_view>

#include "dsp/station/plan.h"

namespace skedlark::station {

// `until` and `except` are left empty.
[[nodiscard]] Result<Repeat> parse_repeat(std::string_view text);

// The first time at or after `from`; empty: none any more.
[[nodiscard]] std::optional<UtcTime> next_time(UtcTime start, const Repeat& repeat, UtcTime from);
// The last time before `before`.
[[nodiscard]] std::optional<UtcTime> last_time(UtcTime start, const Repeat& repeat, UtcTime before);

}  // namespace skedlark::station
