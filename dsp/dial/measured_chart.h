// A chart from nothing: from pairs of division and frequency that were measured.
//
// Stage:   dial. In: pairs, in any order. Out: a band with its chart, and for each pair how far it
//          stands from the curve through the others.
// Units:   divisions, megahertz.
// Shape:   CSV lines "division,MHz"; a first line of words, blank lines and lines that begin with #
//          count for nothing.
// Time:    none.
// Errors:  damaged (a line that is no pair) and invalid_value (pairs that make no chart) name file
//          and line.
// Threads: none.
// Source:  chart.h; spread of the residuals by their median, so that one wrong pair does not hide
//          itself (1.4826 times the median deviation of a normal: Hampel, J. Amer. Stat. Assoc. 69
//          (1974) 383-393).
// Checked: tests/dsp/dial/measured_chart_test.cpp
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/dial/receiver.h"

namespace skedlark::dial {

struct PairFit {
    ChartPoint pair{};
    std::optional<double> residual_div{};  // against all others that fit; empty at the ends
    bool fits = true;                      // false: more than four times the usual spread off
};

struct MeasuredChart {
    Band band{};                   // without the pairs that do not fit
    std::vector<PairFit> pairs{};  // by rising division
    double chart_sd_div = 0.0;
};

[[nodiscard]] Result<std::vector<ChartPoint>> parse_pairs(std::string_view csv,
                                                          const std::string& name);
[[nodiscard]] Result<std::vector<ChartPoint>> read_pairs(const std::string& path);

// The band reaches from the lowest to the highest pair. `receiver` gives dial and reading; its bands
// are not looked at.
[[nodiscard]] Result<MeasuredChart> make_chart(const Receiver& receiver, const std::string& band,
                                               std::vector<ChartPoint> pairs);

}  // namespace skedlark::dial
