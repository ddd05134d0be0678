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

#include "dsp/station/dial_lookup.h"

namespace skedlark::cli {

using station::chance_of;
using station::StationExpected;

// --snr, --level-sd, --wpm, --detection
void add_expected_options(CLI::App& verb, StationExpected& expected);

// MHZ=DIV
[[nodiscard]] Result<std::vector<dial::KnownStation>> parse_known(
    const std::vector<std::string>& texts);

// For contact cards.
[[nodiscard]] Result<station::DialLookup> dial_lookup(const std::string& chart_path,
                                                      const StationExpected& expected);

}  // namespace skedlark::cli
