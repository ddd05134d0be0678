// Options of skedlark sweep, and the motion of the dial that they name.
//
// Stage:   cli. In: the command line. Out: plain values, checked as far as no file is needed.
// Errors:  names the option, the value and what is allowed.
// Threads: none.
// Checked: tests/cli/sweep_test.cpp
#pragma once

#include <CLI/App.hpp>
#include <optional>
#include <string>
#include <vector>

#include "cli/chart_options.h"
#include "cli/options.h"
#include "cli/sources.h"
#include "cli/watch_log.h"
#include "dsp/dial/motion.h"
#include "dsp/watch/sweep.h"

namespace skedlark::cli {

struct SweepOptions {
    InputOptions input;
    RecordOptions record;
    LogOptions log;
    std::string chart;
    std::string band;
    std::vector<std::string> known;
    std::optional<double> from_div;
    std::optional<double> to_div;
    std::optional<double> pace_div_per_min;
    std::optional<double> step_div;
    double rest_s = 20.0;
    double move_s = 2.0;
    bool press = false;
    std::string marks;
    std::optional<double> expect_mhz;
    StationExpected expected;
    std::string map;
    watch::SweepConfig sweep;
    bool no_zero_in = false;
    bool json = false;
};

void add_sweep_options(CLI::App& verb, SweepOptions& options);
// What CLI11 cannot say: which options go together.
[[nodiscard]] Status check_sweep_options(const SweepOptions& options);

// The band to listen in: as named, the only one, or the finest that holds what is expected.
[[nodiscard]] Result<std::string> band_of(const SweepOptions& options,
                                          const dial::Receiver& receiver);
// audio_s: length of the audio, where it is known. Not for --press: there it comes as it is made.
[[nodiscard]] Result<dial::Motion> motion_of(const SweepOptions& options,
                                             const dial::Receiver& receiver,
                                             std::optional<double> audio_s);

}  // namespace skedlark::cli
