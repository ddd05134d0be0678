// Results of the bench as text of 80 columns and as JSON Lines.
//
// Stage:   cli. In: bench::Report and limits. Out: text; whether all limits are kept.
// Units:   those of the measurement's name; a value is shown as finely as its uncertainty means.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/bench_test.cpp
#pragma once

#include <string>

#include "dsp/bench/limits.h"
#include "dsp/bench/report.h"

namespace skedlark::cli {

struct BenchResult {
    std::string test{};
    std::string input{};
    double sample_rate_hz = 0.0;
    double seconds = 0.0;
    bench::Report report{};
    bench::Limits limits{};
};

// No limit is missed; one that a bound cannot settle counts as missed.
[[nodiscard]] bool keeps_limits(const BenchResult& result);
[[nodiscard]] std::string bench_text(const BenchResult& result);
[[nodiscard]] std::string bench_json(const BenchResult& result);

// "20.04 +- 0.15 dB", "below -52 dB"; with its sign where it is a difference.
[[nodiscard]] std::string figure_text(const bench::Measurement& measurement);
[[nodiscard]] std::string difference_text(const std::string& name, const bench::Figure& difference);

// Broken at spaces to lines no longer than width; further lines begin with `indent` spaces.
[[nodiscard]] std::string wrapped_text(const std::string& text, std::size_t width,
                                       std::size_t indent);

}  // namespace skedlark::cli
