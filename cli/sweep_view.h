// What skedlark sweep tells, for reading and as JSON Lines.
//
// Stage:   cli. In: stations met, the dial, the where-is-it map. Out: text of at most 80 columns, or
//          lines of JSON, as docs/file-formats.md lists them.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/sweep_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/dial/search_plan.h"
#include "dsp/watch/sweep.h"

namespace skedlark::cli {

struct SweepTold {
    double seconds = 0.0;  // of audio
    double from_div = 0.0;
    double to_div = 0.0;
    std::vector<watch::SweepStation> stations;
    const watch::SweepStation* go_back = nullptr;  // into stations
    std::optional<double> go_back_listen_div;      // where it is heard at the listening pitch
    const dial::PlaceMap* map = nullptr;
    std::optional<dial::Stretch> next;
};

[[nodiscard]] std::string sweep_heading();
[[nodiscard]] std::string station_text(const watch::SweepStation& station);
[[nodiscard]] std::string station_json(const watch::SweepStation& station);
[[nodiscard]] std::string sweep_text(const SweepTold& told, double pitch_hz);
[[nodiscard]] std::string sweep_json(const SweepTold& told);

}  // namespace skedlark::cli
