#include "dsp/station/display_zone.h"

#include <date/tz.h>
#include <fmt/format.h>

#include <exception>

namespace skedlark::station {

namespace {

using Clock = date::local_time<std::chrono::milliseconds>;

// Runs what may throw for want of data or of the zone.
template <typename Work>
auto with_zone(const std::string& name, Work work)
    -> Result<decltype(work(static_cast<const date::time_zone*>(nullptr)))> {
    try {
        return work(name == "local" ? date::current_zone() : date::locate_zone(name));
    } catch (const std::exception& why) {
        return Error{
            ErrorCode::not_found,
            fmt::format("time zone '{}' is not known on this machine; allowed: UTC, local, "
                        "or a name such as Europe/Vienna (package tzdata)",
                        name.substr(0, 60))};
    }
}

std::string clock_text(WrittenTime written) {
    const std::string text = utc_text(UtcTime(written.clock.time_since_epoch()));
    return text.substr(0, 10) + " " + text.substr(11, 5);
}

}  // namespace

Result<std::string> check_zone(const std::string& name) {
    if (name == "UTC") return name;
    return with_zone(name, [](const date::time_zone* zone) { return zone->name(); });
}

Result<LocalTime> local_time(const std::string& zone, UtcTime time) {
    if (zone == "UTC") {
        return LocalTime{
            {decltype(WrittenTime::clock)(time.time_since_epoch()), std::chrono::minutes(0), true},
            "UTC"};
    }
    return with_zone(zone, [&](const date::time_zone* where) {
        const auto info = where->get_info(time);
        return LocalTime{{decltype(WrittenTime::clock)(time.time_since_epoch() + info.offset),
                          std::chrono::duration_cast<std::chrono::minutes>(info.offset), true},
                         info.abbrev};
    });
}

Result<UtcTime> utc_from_local(const std::string& zone, const WrittenTime& written) {
    if (written.offset || zone == "UTC") return as_utc(written);
    const Clock clock(written.clock.time_since_epoch());
    const auto info =
        with_zone(zone, [&](const date::time_zone* where) { return where->get_info(clock); });
    if (!info) return info.error();
    const auto instant = [&](const date::sys_info& side) {
        return UtcTime(clock.time_since_epoch() - side.offset);
    };
    if (info->result == date::local_info::nonexistent) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{} does not exist in {}: the clock is put forward from {} to {}",
                        clock_text(written), zone, info->first.abbrev, info->second.abbrev)};
    }
    if (info->result == date::local_info::ambiguous) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{} is there twice in {}: write {} or {}", clock_text(written), zone,
                        utc_text(instant(info->first)), utc_text(instant(info->second)))};
    }
    return instant(info->first);
}

}  // namespace skedlark::station
