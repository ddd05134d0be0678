// Local time for display, by the time zone data of the system.
//
// Stage:   station. In: a zone's name, instants or what a clock there shows. Out: the other.
// Units:   minutes of offset, east positive.
// Shape:   names of the IANA data base, "Europe/Vienna"; "UTC" needs no data.
// Time:    a clock time that does not exist (spring) or is there twice (autumn) is refused.
// Errors:  not_found for a zone; invalid_value naming both instants, or the gap.
// Threads: as the date library: the data is loaded once, under its lock.
// Source:  IANA time zone data base, through Howard Hinnant's date library.
// Checked: tests/dsp/station/display_zone_test.cpp
#pragma once

#include <string>

#include "dsp/core/result.h"
#include "dsp/core/utc.h"

namespace skedlark::station {

struct LocalTime {
    WrittenTime written;       // what the clock on the wall shows, with its offset
    std::string abbreviation;  // "CET", or "+03" where the data has no letters
};

// "local": the zone this machine is set to.
[[nodiscard]] Result<std::string> check_zone(const std::string& name);
[[nodiscard]] Result<LocalTime> local_time(const std::string& zone, UtcTime time);
// The instant at which a clock there shows this; an offset that is written decides by itself.
[[nodiscard]] Result<UtcTime> utc_from_local(const std::string& zone, const WrittenTime& written);

}  // namespace skedlark::station
