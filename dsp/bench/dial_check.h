// A receiver's chart against check points: errors, what corrects them, backlash.
//
// Stage:   bench. In: a receiver with its chart, check points of known frequency (crystal, standard
//          frequency stations) with the division each was found at. Out: errors, a correction, a corrected receiver.
// Units:   divisions, megahertz, kilohertz.
// Shape:   1 to 1000 check points; backlash from points reached both from below and from above.
// Time:    none.
// Errors:  those of dsp/dial (points outside the chart, named), invalid_value for points that are no numbers.
// Threads: pure.
// Source:  dsp/dial/correction.h; backlash: mean of the differences with Student's interval.
// Checked: tests/dsp/bench/dial_check_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/bench/figure.h"
#include "dsp/dial/correction.h"
#include "dsp/dial/receiver.h"

namespace skedlark::bench {

enum class Approach { not_said, from_below, from_above };

struct CheckPoint {
    double mhz = 0.0;
    double div = 0.0;  // where it is at zero beat
    Approach approach = Approach::not_said;
};

struct DialCheckConfig {
    double within_div = 0.5;  // wanted: no error larger, 0.001 to 100
};

struct CheckedPoint {
    CheckPoint point{};
    double chart_div = 0.0;
    Figure error_div{};      // as read less the chart; by the reading
    double error_khz = 0.0;  // how far off a frequency set by the chart would be
    Figure left_div{};       // once corrected
    bool fits = true;        // false: left out of the correction as a station mistaken
};

struct DialCheck {
    std::vector<CheckedPoint> points{};  // as given
    dial::Correction correction{};
    Figure offset_div{};
    std::optional<Figure> stretch{};
    double largest_div = 0.0, largest_left_div = 0.0;  // of points that fit
    bool within = false, within_once_corrected = false;
    std::optional<Figure> backlash_div{};  // above less below; empty: no point reached both ways
};

[[nodiscard]] Result<DialCheck> check_dial(const dial::Receiver& receiver, const std::string& band,
                                           const std::vector<CheckPoint>& points,
                                           const DialCheckConfig& config);

// The receiver with its chart moved as the correction says, to be saved by dial::receiver_toml().
[[nodiscard]] Result<dial::Receiver> corrected(const dial::Receiver& receiver,
                                               const std::string& band,
                                               const dial::Correction& correction);

}  // namespace skedlark::bench
