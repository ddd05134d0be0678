// What a battery has left, use by use.
//
// Stage:   station. In: Battery, what is drawn from it and when it is charged. Out: what is left.
// Units:   share of a full charge, 0 to 1; hours.
// Shape:   uses in any order; each counts at its start.
// Time:    an instant is UTC.
// Errors:  none; a battery that would be emptied stays at 0 and says so.
// Threads: all functions are pure.
// Source:  none; linear in time: what is drawn does not depend on how full it is.
// Checked: tests/dsp/station/battery_test.cpp
//
// Caution: charging lead-acid batteries gives off explosive gas; ventilate, and follow what maker
// and local rules say.
#pragma once

#include <span>
#include <vector>

#include "dsp/station/plan.h"

namespace skedlark::station {

// From `from` on the set is on for on_h, of which send_h sending; or the charger is, for charge_h.
struct BatteryUse {
    UtcTime from{};
    double on_h = 0.0;
    double send_h = 0.0;
    double charge_h = 0.0;
};

struct BatteryAfter {
    double before = 0.0;         // share at the start of the use
    double after = 0.0;          // share at its end, never below 0
    double short_by = 0.0;       // share that was wanted beyond what was there; 0: it lasts
    double charge_owed_h = 0.0;  // on the charger until it is full again
    double receive_left_h = 0.0;
};

// Share drawn by so many hours, sending not being receiving.
[[nodiscard]] double share_drawn(const Battery& battery, double on_h, double send_h);
[[nodiscard]] double charge_owed_h(const Battery& battery, double share);

// One entry for each use, in the order of time (uses at the same time keep theirs). Uses before
// as_of have been paid for: they change nothing.
[[nodiscard]] std::vector<BatteryAfter> run_down(const Battery& battery,
                                                 std::span<const BatteryUse> uses_in_order);

}  // namespace skedlark::station
