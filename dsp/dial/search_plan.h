// Which stretch of the dial to sweep next, and at what speed: the one that raises the chance of
// finding the station most for each second it takes.
//
// Stage:   dial. In: the map, the chance of noticing by rate, the time left. Out: stretches in order.
// Units:   divisions, divisions a minute, seconds.
// Shape:   a stretch takes setting_s plus its length and a run-on at both ends over its speed. Speeds
//          tried: kSpeeds between the slowest and the fastest. plan_search() supposes that nothing is
//          heard and goes on until the time is spent.
// Time:    map update and next stretch together below 50 ms (tests/speed).
// Errors:  invalid_value naming the field.
// Threads: none.
// Source:  Koopman, Oper. Res. 5 (1957) 613-626: effort goes where the chance rises most for it. The
//          best ratio over all intervals: Dinkelbach, Management Science 13 (1967) 492-498. Because
//          stretches cannot be cut to measure, each plan is also tried with one last sweep that fills
//          what time is left after none, one, two, ... of them.
// Checked: tests/dsp/dial/search_plan_test.cpp, against Koopman's closed form
#pragma once

#include <optional>
#include <vector>

#include "dsp/dial/place_map.h"

namespace skedlark::dial {

inline constexpr int kSpeeds = 25;

struct SearchConfig {
    double window_s = 600.0;            // left of the contact, 1 to 86400
    double setting_s = 5.0;             // to set the dial to the start of a stretch, 0 to 600
    double run_on_div = 0.0;            // as sweep_plan.h, 0 to 100
    double slowest_div_per_min = 0.25;  // that a hand can turn evenly, 0.01 to below the fastest
    double fastest_div_per_min = 30.0;  // up to 1000
    double shortest_div = 0.25;         // no shorter stretch, 0 to 100
    // Before the last one, 0 to 1000. More hardly change which comes first, and cost time.
    std::size_t most_stretches = 16;
};

struct Stretch {
    double from_div = 0.0;  // where the station is looked for, from below to above
    double to_div = 0.0;
    double run_on_div = 0.0;  // the dial starts so much before and stops so much beyond
    double div_per_min = 0.0;
    double seconds = 0.0;
    double chance = 0.0;  // that the station is found in it
};

// Empty where no stretch fits the window or nothing can be gained.
[[nodiscard]] Result<std::optional<Stretch>> next_stretch(const PlaceMap& map,
                                                          const ChanceByRate& chance,
                                                          const SearchConfig& config);

struct SearchPlan {
    std::vector<Stretch> stretches{};
    double seconds = 0.0;
    double chance = 0.0;  // of finding the station in all of them
};
// Time left over is not pretended to be used.
[[nodiscard]] Result<SearchPlan> plan_search(const PlaceMap& map, const ChanceByRate& chance,
                                             const SearchConfig& config);

}  // namespace skedlark::dial
