// The battery along the plan: what each contact leaves in it.
//
// Stage:   station. In: Plan, an instant, contacts. Out: what is left before and after each.
// Units:   share of a full charge, 0 to 1; hours.
// Shape:   contacts and charging since the battery's as_of count (from `from` where it has none).
// Time:    a contact draws from switching on to its end, less what an earlier one is still on for;
//          its fallbacks are reckoned apart, as what it costs if all of them are needed.
// Errors:  none; a contact without a battery has an empty entry.
// Threads: all functions are pure.
// Source:  none
// Checked: tests/dsp/station/budget_test.cpp
#pragma once

#include <optional>
#include <vector>

#include "dsp/station/battery.h"
#include "dsp/station/due.h"

namespace skedlark::station {

struct ContactBudget {
    std::string battery{};
    BatteryAfter contact{};
    double start_share = 0.0;            // left when the contact begins, warm-up taken off
    double after_fallbacks_share = 0.0;  // left if every fallback is needed
    bool on_charger = false;             // the plan charges the battery while it is in use
};

// One entry for each of `due` (in order of time, from `from` on).
[[nodiscard]] std::vector<std::optional<ContactBudget>> budget_of(
    const Plan& plan, UtcTime from, const std::vector<Occurrence>& due);

}  // namespace skedlark::station
