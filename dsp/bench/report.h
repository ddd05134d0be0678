// What a test of the bench hands to whoever shows it: measurements, occurrences, curves and remarks.
//
// Stage:   bench. In: none. Out: Report.
// Units:   a measurement's unit stands in its name: "sinad_db", "pitch_hz".
// Shape:   in the order in which they should be read.
// Time:    occurrences in seconds from the start of the audio given.
// Errors:  a test that cannot measure what it is for gives an Error instead of a Report; a single figure
//          that could not be had is left out and a remark says why.
// Threads: plain data.
// Source:  none
// Checked: tests/dsp/bench/limits_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/bench/curve.h"
#include "dsp/bench/figure.h"

namespace skedlark::bench {

enum class Known {
    value,     // a figure with its uncertainty
    at_most,   // too small to be told from noise: below figure.value, with 95 %
    at_least,  // too large to be told: above figure.value, with 95 %
};

struct Measurement {
    std::string name{};  // lower_case with its unit, one of those test_kinds() lists
    Figure figure{};
    Known known = Known::value;
    std::string what{};  // in plain words, for people: "tone over noise and distortion"
    std::string at{};    // which of several: "3.5 MHz", "step 4"; empty: the only one
};

struct Occurrence {
    std::string kind{};  // "dropout", "crackle"
    double at_s = 0.0;
    double length_s = 0.0;
    std::optional<double> depth_db{};
    std::string said{};  // in plain words
};

struct Report {
    std::vector<Measurement> measurements{};
    std::vector<Occurrence> occurrences{};
    std::vector<Curve> curves{};         // for a plot
    std::vector<std::string> remarks{};  // whole sentences
    std::string chain{};  // name of the measuring chain in the uncertainties; empty: none
};

}  // namespace skedlark::bench
