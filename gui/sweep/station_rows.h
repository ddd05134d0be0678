// Stations met in a sweep as rows of the page's table.
//
// Stage:   gui/sweep, no Qt. In: stations. Out: texts, one cell each; a shape for the picture.
// Units:   in the texts; divisions as numbers for the picture.
// Errors:  none.
// Threads: none.
// Source:  none
// Checked: tests/desk/sweep/station_rows_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/watch/sweep.h"

namespace skedlark::gui {

// keyed: a dot; steady: a bar; broadcast: a square; unknown: a ring. The word stands in the table.
enum class StationKind { keyed, steady, broadcast, unknown };

struct StationRow {
    int number = 0;  // as on the picture, from 1
    StationKind kind = StationKind::unknown;
    double div = 0.0, low95_div = 0.0, high95_div = 0.0;
    bool go_back = false;  // the best one to go back to
    std::string division{}, mhz{}, word{}, snr{}, odds{}, call{};
};

[[nodiscard]] const char* word_of(StationKind kind);
// go_back: into stations; null where there is none.
[[nodiscard]] std::vector<StationRow> rows_of(const std::vector<watch::SweepStation>& stations,
                                              const watch::SweepStation* go_back);

}  // namespace skedlark::gui
