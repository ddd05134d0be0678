// What a contact card wants to know of the receiver, whoever can tell.
//
// Stage:   station. In: a frequency. Out: where on the dial it is looked for, and how long that
//          takes.
// Units:   kilohertz; dial divisions; minutes.
// Shape:   an empty function: no receiver file, the card says so.
// Errors:  none: a frequency the receiver does not cover has a `problem`.
// Threads: as the function given.
// Source:  none
// Checked: tests/dsp/station/card_test.cpp
#pragma once

#include <functional>
#include <optional>
#include <string>

namespace skedlark::station {

struct DialSetting {
    std::string band{};  // of the receiver, as its switch names it
    double division = 0.0;
    double from_division = 0.0;  // limits of the sweep
    double to_division = 0.0;
    std::optional<double> sweep_min{};
    std::string problem{};  // empty: the frequency is on the dial
    // Empty where whoever was asked does not know.
    std::optional<double> listen_division{};  // where the station sounds at the listening pitch
    std::optional<double> low95_division{};   // 95 % of `division`
    std::optional<double> high95_division{};
};

using DialLookup = std::function<DialSetting(double khz)>;

}  // namespace skedlark::station
