#include "gui/sweep/station_rows.h"

#include <fmt/format.h>

namespace skedlark::gui {

namespace {

StationKind kind_of(const watch::SweepStation& met) {
    if (met.broadcast) return StationKind::broadcast;
    if (!met.keyed) return StationKind::unknown;
    return *met.keyed ? StationKind::keyed : StationKind::steady;
}

std::string call_of(const watch::SweepStation& met) {
    if (const auto& call = met.expected_call)
        return fmt::format("{} {:.0f} %", call->call, 100.0 * call->confidence);
    return met.other_call ? met.other_call->call + ", another" : "";
}

}  // namespace

const char* word_of(StationKind kind) {
    switch (kind) {
        case StationKind::keyed:
            return "keyed";
        case StationKind::steady:
            return "steady";
        case StationKind::broadcast:
            return "broadcast";
        case StationKind::unknown:
            break;
    }
    return "unknown";
}

std::vector<StationRow> rows_of(const std::vector<watch::SweepStation>& stations,
                                const watch::SweepStation* go_back) {
    std::vector<StationRow> rows;
    for (const watch::SweepStation& met : stations) {
        StationRow row;
        row.number = static_cast<int>(rows.size()) + 1;
        row.kind = kind_of(met);
        row.div = met.div;
        row.low95_div = met.low95_div;
        row.high95_div = met.high95_div;
        row.go_back = go_back == &met;
        row.division =
            fmt::format("{:.2f}  ({:.2f} to {:.2f})", met.div, met.low95_div, met.high95_div);
        row.mhz = fmt::format("{:.4f}", met.mhz);
        row.word = word_of(row.kind);
        row.snr = fmt::format("{:.1f}", met.snr_2500hz_db);
        row.odds = met.false_alarm_odds < 1e-9 ? "under 1e-9"
                                               : fmt::format("{:.2g}", met.false_alarm_odds);
        row.call = call_of(met);
        rows.push_back(std::move(row));
    }
    return rows;
}

}  // namespace skedlark::gui
