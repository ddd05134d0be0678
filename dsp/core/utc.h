// Times of day: reading and writing them. Looking at the clock is left to the surfaces.
//
// Stage:   core. In: ISO 8601 as in RFC 3339. Out: instants of UTC.
// Units:   milliseconds; years 1970 to 2199.
// Shape:   "2026-11-26", "2026-11-26T18:30", "... 18:30:05.25"; then "Z", "+01:00" or nothing.
// Time:    second 60 (a leap second) counts as the second after it.
// Errors:  invalid_value, saying what is allowed.
// Threads: all functions are pure.
// Source:  RFC 3339 section 5.6
// Checked: tests/dsp/core/utc_test.cpp
#pragma once

#include <array>
#include <charconv>
#include <chrono>
#include <cstdio>
#include <optional>
#include <string>
#include <string_view>

#include "dsp/core/result.h"

namespace skedlark {

using UtcTime = std::chrono::sys_time<std::chrono::milliseconds>;

inline constexpr int kFirstYear = 1970;
inline constexpr int kLastYear = 2199;

// What stands on a clock face somewhere; an instant only where the offset from UTC is written.
struct WrittenTime {
    std::chrono::local_time<std::chrono::milliseconds> clock{};
    std::optional<std::chrono::minutes> offset{};  // "Z" is 0
    bool has_time = false;                         // false: a date alone, clock is its midnight
};

// "2026-11-26T06:30:00.125Z"
[[nodiscard]] inline std::string utc_text(UtcTime time) {
    const auto day = std::chrono::floor<std::chrono::days>(time);
    const std::chrono::year_month_day date(day);
    const std::chrono::hh_mm_ss clock(time - day);
    std::array<char, 48> text{};
    std::snprintf(text.data(), text.size(), "%04d-%02u-%02uT%02d:%02d:%02d.%03dZ",
                  static_cast<int>(date.year()), static_cast<unsigned>(date.month()),
                  static_cast<unsigned>(date.day()), static_cast<int>(clock.hours().count()),
                  static_cast<int>(clock.minutes().count()),
                  static_cast<int>(clock.seconds().count()),
                  static_cast<int>(clock.subseconds().count()));
    return text.data();
}

namespace utc_detail {

// Takes exactly `digits` digits off the front, within the limits.
inline std::optional<int> take_number(std::string_view& text, std::size_t digits, int low,
                                      int high) {
    if (text.size() < digits) return std::nullopt;
    int value = 0;
    const char* end = text.data() + digits;
    const auto read = std::from_chars(text.data(), end, value);
    if (read.ec != std::errc{} || read.ptr != end || text.front() == '-' || value < low ||
        value > high) {
        return std::nullopt;
    }
    text.remove_prefix(digits);
    return value;
}

inline bool take(std::string_view& text, std::string_view any_of) {
    if (text.empty() || any_of.find(text.front()) == std::string_view::npos) return false;
    text.remove_prefix(1);
    return true;
}

// Digits after the point; those beyond a millisecond are read and dropped.
inline std::optional<int> take_fraction_ms(std::string_view& text) {
    int ms = 0;
    int digits = 0;
    while (!text.empty() && text.front() >= '0' && text.front() <= '9') {
        if (digits < 3) ms = 10 * ms + (text.front() - '0');
        ++digits;
        text.remove_prefix(1);
    }
    if (digits == 0) return std::nullopt;
    for (; digits < 3; ++digits) ms *= 10;
    return ms;
}

inline std::optional<std::chrono::milliseconds> take_clock(std::string_view& text) {
    const auto hour = take_number(text, 2, 0, 23);
    if (!hour || !take(text, ":")) return std::nullopt;
    const auto minute = take_number(text, 2, 0, 59);
    if (!minute) return std::nullopt;
    std::chrono::milliseconds clock = std::chrono::hours(*hour) + std::chrono::minutes(*minute);
    if (!take(text, ":")) return clock;
    const auto second = take_number(text, 2, 0, 60);
    if (!second) return std::nullopt;
    clock += std::chrono::seconds(*second);
    if (take(text, ".")) {
        const auto ms = take_fraction_ms(text);
        if (!ms) return std::nullopt;
        clock += std::chrono::milliseconds(*ms);
    }
    return clock;
}

inline std::optional<std::chrono::minutes> take_offset(std::string_view& text) {
    if (take(text, "Zz")) return std::chrono::minutes(0);
    const bool west = !text.empty() && text.front() == '-';
    if (!take(text, "+-")) return std::nullopt;
    const auto hour = take_number(text, 2, 0, 23);
    if (!hour || !take(text, ":")) return std::nullopt;
    const auto minute = take_number(text, 2, 0, 59);
    if (!minute) return std::nullopt;
    const auto size = std::chrono::hours(*hour) + std::chrono::minutes(*minute);
    return west ? -size : size;
}

inline std::optional<WrittenTime> take_written_time(std::string_view text) {
    const auto year = take_number(text, 4, kFirstYear, kLastYear);
    if (!year || !take(text, "-")) return std::nullopt;
    const auto month = take_number(text, 2, 1, 12);
    if (!month || !take(text, "-")) return std::nullopt;
    const auto day = take_number(text, 2, 1, 31);
    if (!day) return std::nullopt;
    const std::chrono::year_month_day date(std::chrono::year(*year),
                                           std::chrono::month(static_cast<unsigned>(*month)),
                                           std::chrono::day(static_cast<unsigned>(*day)));
    if (!date.ok()) return std::nullopt;
    WrittenTime written;
    written.clock = std::chrono::local_days(date);
    if (text.empty()) return written;
    if (!take(text, "Tt ")) return std::nullopt;
    const auto clock = take_clock(text);
    if (!clock) return std::nullopt;
    written.has_time = true;
    written.clock += *clock;
    if (!text.empty()) {
        written.offset = take_offset(text);
        if (!written.offset) return std::nullopt;
    }
    return text.empty() ? std::optional(written) : std::nullopt;
}

}  // namespace utc_detail

[[nodiscard]] inline Result<WrittenTime> parse_written_time(std::string_view text) {
    if (const auto written = utc_detail::take_written_time(text)) return *written;
    return Error{ErrorCode::invalid_value,
                 "'" + std::string(text.substr(0, 60)) +
                     "' is not a time; allowed: a date and time that exist, 1970 to 2199, such as "
                     "2026-11-26T18:30Z"};
}

// The instant; a time without an offset is taken as UTC.
[[nodiscard]] inline UtcTime as_utc(const WrittenTime& written) {
    return UtcTime(written.clock.time_since_epoch() -
                   written.offset.value_or(std::chrono::minutes(0)));
}

[[nodiscard]] inline Result<UtcTime> parse_utc(std::string_view text) {
    const auto written = parse_written_time(text);
    if (!written) return written.error();
    return as_utc(*written);
}

}  // namespace skedlark
