#include "cli/sweep_log.h"

#include <fmt/format.h>

namespace skedlark::cli {
namespace {

log::HeardStation heard_of(const watch::SweepStation& one, int number) {
    log::HeardStation heard;
    heard.tone = number;
    heard.pitch_hz = one.stop_pitch_hz.value_or(log::kNotMeasured);
    heard.keyed = one.keyed;
    heard.snr_2500hz_db = one.snr_2500hz_db;
    heard.false_alarm_odds = one.false_alarm_odds;
    heard.text = one.text;
    return heard;
}

}  // namespace

void note_sweep(WatchLog& log, const SweepTold& told) {
    log.add(log::Measurement{"sweep_from_div", told.from_div});
    log.add(log::Measurement{"sweep_to_div", told.to_div});
    int number = 0;
    for (const watch::SweepStation& one : told.stations) {
        log.add(heard_of(one, ++number));
        log.add(log::Measurement{fmt::format("station_{}_div", number), one.div,
                                 one.high95_div - one.div});
        log.add(log::Measurement{fmt::format("station_{}_mhz", number), one.mhz});
    }
    if (told.map != nullptr) log.add(log::Measurement{"chance_so_far", told.map->chance_so_far()});
    log.reach(told.seconds);
}

}  // namespace skedlark::cli
