// How a hand sends: the mean lengths and the spread of its marks and gaps.
//
// Stage:   synth. Lengths are log-normal about their means.
// Units:   dots; cv is the coefficient of variation (standard deviation over mean).
// Shape:   none.
// Time:    drift is a slow random wander of the speed: its relative standard deviation, with an
//          exponential memory of drift_time_s.
// Errors:  fist_by_name() returns not_found and lists the names.
// Threads: values.
// Source:  the five hands are this project's own choice (no published table was found); machine is
//          ITU-R M.1677-1.
// Checked: tests/dsp/synth/fist_test.cpp
#pragma once

#include <span>
#include <string_view>

#include "dsp/core/result.h"

namespace skedlark::synth {

struct Length {
    double mean_dots = 1.0;  // 0.2 to 40
    double cv = 0.0;         // 0 to 1
};

struct Fist {
    Length dot{1.0, 0.0};
    Length dash{3.0, 0.0};
    Length element_gap{1.0, 0.0};
    Length character_gap{3.0, 0.0};
    Length word_gap{7.0, 0.0};
    double drift = 0.0;          // 0 to 0.5
    double drift_time_s = 20.0;  // 1 to 1000
};

struct NamedFist {
    std::string_view name;
    std::string_view help;
    Fist fist;
};

// machine, steady, ordinary, swinging, semi-automatic, poor.
[[nodiscard]] std::span<const NamedFist> named_fists();
[[nodiscard]] Result<Fist> fist_by_name(std::string_view name);

}  // namespace skedlark::synth
