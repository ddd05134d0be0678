// The card of a contact: all that has to be known before and during it.
//
// Stage:   station. In: Plan, what is due, the clock, the receiver where it is known. Out: numbers
//          and words; a surface lays them out.
// Units:   kilohertz, seconds, minutes; instants of UTC; shares 0 to 1.
// Time:    `now` is UTC as well as it is known: the machine's clock less its offset. Switching on is
//          put forward and giving up put off by the clock's uncertainty.
// Errors:  not_found for a time zone.
// Threads: all functions are pure.
// Source:  none
// Checked: tests/dsp/station/card_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/station/answer.h"
#include "dsp/station/budget.h"
#include "dsp/station/dial_setting.h"
#include "dsp/station/display_zone.h"
#include "dsp/station/due.h"

namespace skedlark::station {

struct ClockState {
    double offset_s = 0.0;                     // positive: the clock is fast
    std::optional<double> uncertainty_95_s{};  // empty: nobody has checked the clock
    std::string how{};                         // "typed in", "12 ticks heard"
};

// The contact itself, or one of its fallbacks.
struct Leg {
    UtcTime start{};
    UtcTime end{};
    double receive_khz = 0.0;
    std::optional<DialSetting> dial{};  // empty: no receiver file
    Answer answer{};
    std::optional<LocalTime> local_start{};  // empty: shown in UTC alone
};

enum class Stage { waiting, warming_up, running, given_up, in_fallback };
[[nodiscard]] const char* name_of(Stage stage);  // "warming_up"

struct ContactCard {
    std::string contact{};
    std::string own_call{};
    Station with{};
    UtcTime now{};
    Stage stage = Stage::waiting;
    double to_start_s = 0.0;  // negative: since
    UtcTime switch_on{};
    double to_switch_on_s = 0.0;
    UtcTime give_up{};
    Leg leg{};
    std::vector<Leg> fallbacks{};
    std::optional<std::size_t> next_fallback{};  // the one after giving up; empty: none is left
    std::optional<UtcTime> next_contact{};       // the next time round, whatever happens now
    std::optional<ContactBudget> battery{};
    std::vector<std::string> kit{};
    ClockState clock{};
    std::vector<std::string> notes{};  // what must not be overlooked
};

struct CardConfig {
    UtcTime machine_now{};
    ClockState clock{};
    std::string zone = "UTC";
    std::size_t count = 1;
    DialLookup dial{};
};

[[nodiscard]] UtcTime true_now(UtcTime machine_now, const ClockState& clock);
// Of what is due next, the soonest first; empty where nothing is due any more.
[[nodiscard]] Result<std::vector<ContactCard>> make_cards(const Plan& plan,
                                                          const CardConfig& config);

}  // namespace skedlark::station
