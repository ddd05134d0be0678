// Where on the dial of a receiver a contact is looked for.
//
// Stage:   station. In: a receiver, what is expected of the wanted station, known stations. Out: the
//          function a contact card asks.
// Units:   kilohertz; decibels; words a minute.
// Shape:   the finest band that holds the frequency, two divisions each side, at the speed that
//          notices such a station with 90 %.
// Errors:  chance_of(): that of the detection file. A known station that cannot be on the band
//          asked for is left out there.
// Threads: the function given may be called by one thread at a time.
// Source:  none
// Checked: tests/dsp/station/dial_lookup_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/dial/sweep_plan.h"
#include "dsp/station/dial_setting.h"

namespace skedlark::station {

struct StationExpected {
    double snr_2500hz_db = -10.0;
    double level_sd_db = 6.0;
    double speed_wpm = 16.0;
    std::string detection{};  // measured curve; empty: that of skedlark sweep
};

[[nodiscard]] Result<dial::ChanceByRate> chance_of(const dial::Receiver& receiver,
                                                   const StationExpected& expected);

[[nodiscard]] DialLookup dial_lookup(const dial::Receiver& receiver,
                                     const dial::ChanceByRate& chance,
                                     const std::vector<dial::KnownStation>& known = {});

// Those of the known stations that can be on this band: its chart holds them, not farther from their
// place than a dial slips. A frequency that two bands hold counts for both where it fits both.
[[nodiscard]] std::vector<dial::KnownStation> known_in(
    const dial::Receiver& receiver, const std::string& band,
    const std::vector<dial::KnownStation>& known);

}  // namespace skedlark::station
