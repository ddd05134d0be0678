// How to sweep the neighbourhood of a setting: from where to where, how fast, how long it takes.
//
// Stage:   dial. In: a setting with its uncertainty, the chance of noticing by rate. Out: a plan.
// Units:   divisions, divisions a minute, minutes; rates in hertz a second.
// Shape:   one even sweep. The dial starts run_on_div before the lower limit and stops as much beyond
//          the upper one, so that a station at a limit crosses the whole audio passband.
// Time:    none.
// Errors:  invalid_value naming the field.
// Threads: none.
// Source:  two divisions each side: common practice, no source. Speed: the fastest whose chance of
//          noticing the station is the one wanted, at the coarsest place of the stretch.
// Checked: tests/dsp/dial/sweep_plan_test.cpp
#pragma once

#include <optional>

#include "dsp/dial/chance_by_rate.h"
#include "dsp/dial/dial.h"

namespace skedlark::dial {

struct SweepWish {
    // Chance that the station lies within the limits, 0.1 to 0.999; empty: each_side_div.
    std::optional<double> limits_chance{};
    double each_side_div = 2.0;         // 0.01 to 1000
    double noticed_chance = 0.9;        // of a station that is met and sends, 0.05 to 0.99
    double fastest_div_per_min = 30.0;  // that a hand can turn evenly, 0.1 to 1000
};

struct SweepPlan {
    double low_div = 0.0;  // cut at the ends of the scale
    double high_div = 0.0;
    double inside_chance = 0.0;  // that the station stands between them
    double run_on_div = 0.0;
    // Empty where the station is too weak for the chance wanted at any speed.
    std::optional<double> div_per_min{};
    std::optional<double> rate_hz_per_s{};  // at the coarsest place
    std::optional<double> sweep_min{};
    double noticed_chance = 0.0;  // at that speed, of a station that is met
};

[[nodiscard]] Result<SweepPlan> plan_sweep(const Dial& dial, const Setting& setting,
                                           const ChanceByRate& chance, const SweepWish& wish = {});

// The width of the audio passband on the dial: what a sweep runs on beyond its limits.
[[nodiscard]] double run_on_div(const ReceiverAudio& audio, double khz_per_div);

}  // namespace skedlark::dial
