// What in a plan cannot work as it is written.
//
// Stage:   station. In: Plan, a stretch of time, the receiver where it is known. Out: conflicts.
// Units:   instants of UTC.
// Shape:   what concerns a contact at any time comes first, then what happens when, in order.
// Errors:  none.
// Threads: all functions are pure.
// Source:  none
// Checked: tests/dsp/station/conflicts_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/core/utc.h"
#include "dsp/station/dial_setting.h"
#include "dsp/station/plan.h"

namespace skedlark::station {

enum class ConflictKind {
    past_only,         // a contact that never comes round again
    no_answer,         // no crystal or no band for what is to be sent
    no_receiver_band,  // the receiver does not cover the frequency
    overlap,           // two contacts at the same time
    fallback_overlap,  // a fallback falls into another contact
    battery_flat,      // before the contact, or before its end
    on_charger,        // the battery is charged while it is needed
};
[[nodiscard]] const char* name_of(ConflictKind kind);  // "battery_flat"

struct Conflict {
    ConflictKind kind = ConflictKind::overlap;
    std::string contact{};
    std::string other{};          // the other contact; may be empty
    std::optional<UtcTime> at{};  // empty: whenever it takes place
    std::string said{};           // a sentence
};

// What lies in the stretch from `from` to `to`. Of the same kind between the same contacts only
// the first is told.
[[nodiscard]] std::vector<Conflict> find_conflicts(const Plan& plan, UtcTime from, UtcTime to,
                                                   const DialLookup& dial = {});

}  // namespace skedlark::station
