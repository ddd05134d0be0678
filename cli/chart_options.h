// Options about the receiver that several verbs share: its file, known stations, what is expected of
// the wanted station; and what they make.
//
// Stage:   cli. In: the command line, a receiver file. Out: known stations, chances, a dial lookup.
// Errors:  names the option or the file and line.
// Threads: none.
// Checked: tests/cli/dial_test.cpp, sked_test.cpp
#pragma once

#include <CLI/App.hpp>
#include <string>
#include <vector>

#include "dsp/dial/sweep_plan.h"
#include "dsp/station/dial_setting.h"

namespace skedlark::cli {

struct StationExpected {
    double snr_2500hz_db = -10.0;
    double level_sd_db = 6.0;
    double speed_wpm = 16.0;
    std::string detection;  // measured curve; empty: that of skedlark sweep
};

// --snr, --level-sd, --wpm, --detection
void add_expected_options(CLI::App& verb, StationExpected& expected);

[[nodiscard]] Result<dial::ChanceByRate> chance_of(const dial::Receiver& receiver,
                                                   const StationExpected& expected);

// MHZ=DIV
[[nodiscard]] Result<std::vector<dial::KnownStation>> parse_known(
    const std::vector<std::string>& texts);

// For contact cards: the finest band that holds the frequency, two divisions each side, at the speed
// that notices such a station with 90 %.
[[nodiscard]] Result<station::DialLookup> dial_lookup(const std::string& chart_path,
                                                      const StationExpected& expected);

}  // namespace skedlark::cli
