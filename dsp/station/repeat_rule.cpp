#include "dsp/station/repeat_rule.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <vector>

namespace skedlark::station {

namespace {

using std::chrono::days;
using std::chrono::sys_days;

constexpr std::array<std::string_view, 7> kDayNames = {"sunday",   "monday", "tuesday", "wednesday",
                                                       "thursday", "friday", "saturday"};
constexpr long kMostDays = 366;
// A rule's exceptions can only put off the next time so often.
constexpr int kMostSteps = 100000;

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    bool open = false;
    for (const char c : text) {
        if (c == ' ' || c == ',' || c == '\t') {
            open = false;
            continue;
        }
        if (!open) words.emplace_back();
        open = true;
        words.back() += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
    return words;
}

std::optional<Minutes> unit_of(std::string_view word) {
    if (word == "min" || word == "minutes") return Minutes(1);
    if (word == "h" || word == "hours" || word == "hour") return Minutes(60);
    if (word == "days" || word == "day") return Minutes(24 * 60);
    if (word == "weeks" || word == "week") return Minutes(7 * 24 * 60);
    return std::nullopt;
}

std::optional<Minutes> parse_every(const std::vector<std::string>& words) {
    if (words.size() != 3 || words[0] != "every") return std::nullopt;
    long count = 0;
    const char* end = words[1].data() + words[1].size();
    const auto read = std::from_chars(words[1].data(), end, count);
    const auto unit = unit_of(words[2]);
    if (read.ec != std::errc{} || read.ptr != end || !unit || count < 1 ||
        count > kMostDays * 24 * 60 / unit->count()) {
        return std::nullopt;
    }
    return count * *unit;
}

std::optional<std::array<bool, 7>> parse_weekdays(const std::vector<std::string>& words) {
    std::array<bool, 7> chosen{};
    for (const std::string& word : words) {
        const auto* name = std::find_if(kDayNames.begin(), kDayNames.end(), [&](auto day) {
            return word == day || word == day.substr(0, 3);
        });
        if (name == kDayNames.end()) return std::nullopt;
        chosen[static_cast<std::size_t>(name - kDayNames.begin())] = true;
    }
    return words.empty() ? std::nullopt : std::optional(chosen);
}

sys_days day_of(UtcTime time) { return std::chrono::floor<days>(time); }

bool is_taken(const Repeat& repeat, UtcTime time) {
    const auto& except = repeat.except;
    return std::find(except.begin(), except.end(), day_of(time)) == except.end();
}

bool is_over(const Repeat& repeat, UtcTime time) {
    return repeat.until && day_of(time) > *repeat.until;
}

bool falls_on(const Repeat& repeat, UtcTime time) {
    return repeat.weekdays[std::chrono::weekday(day_of(time)).c_encoding()];
}

// The rule's times without exceptions: the one at or after `from`, and the step to the next.
UtcTime first_at_or_after(UtcTime start, std::chrono::milliseconds step, UtcTime from) {
    if (from <= start) return start;
    const auto steps = (from - start + step - std::chrono::milliseconds(1)) / step;
    return start + steps * step;
}

}  // namespace

Result<Repeat> parse_repeat(std::string_view text) {
    const std::vector<std::string> words = words_of(text);
    Repeat repeat;
    if (words.size() == 1 && words[0] == "once") return repeat;
    if (words.size() == 1 && words[0] == "daily") {
        repeat.every = days(1);
        return repeat;
    }
    if (words.size() == 1 && words[0] == "weekly") {
        repeat.every = days(7);
        return repeat;
    }
    repeat.every = parse_every(words);
    if (repeat.every) return repeat;
    if (const auto weekdays = parse_weekdays(words)) {
        repeat.weekdays = *weekdays;
        return repeat;
    }
    return Error{
        ErrorCode::invalid_value,
        fmt::format("'{}' is not a repeat rule; allowed: once, daily, weekly, every N min, "
                    "every N h, every N days (up to 366 days), or days such as Mon Wed Fri",
                    text.substr(0, 60))};
}

std::optional<UtcTime> next_time(UtcTime start, const Repeat& repeat, UtcTime from) {
    const bool on_weekdays = repeat.on_weekdays();
    if (!repeat.every && !on_weekdays) {
        const bool counts = start >= from && !is_over(repeat, start) && is_taken(repeat, start);
        return counts ? std::optional(start) : std::nullopt;
    }
    const std::chrono::milliseconds step = on_weekdays ? Minutes(days(1)) : *repeat.every;
    UtcTime time = first_at_or_after(start, step, from);
    for (int i = 0; i < kMostSteps && !is_over(repeat, time); ++i, time += step) {
        if (is_taken(repeat, time) && (!on_weekdays || falls_on(repeat, time))) return time;
    }
    return std::nullopt;
}

std::optional<UtcTime> last_time(UtcTime start, const Repeat& repeat, UtcTime before) {
    const bool on_weekdays = repeat.on_weekdays();
    if (before <= start) return std::nullopt;
    if (!repeat.every && !on_weekdays) {
        return is_over(repeat, start) || !is_taken(repeat, start) ? std::nullopt
                                                                  : std::optional(start);
    }
    const std::chrono::milliseconds step = on_weekdays ? Minutes(days(1)) : *repeat.every;
    if (repeat.until) before = std::min(before, UtcTime(*repeat.until + days(1)));
    UtcTime time = first_at_or_after(start, step, before) - step;
    for (int i = 0; i < kMostSteps && time >= start; ++i, time -= step) {
        if (is_taken(repeat, time) && (!on_weekdays || falls_on(repeat, time))) return time;
    }
    return std::nullopt;
}

}  // namespace skedlark::station
