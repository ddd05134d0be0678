// Lines of comma-separated values as people write them by hand: blanks, remarks and a heading allowed.
//
// Stage:   core. In: text. Out: fields and numbers, views into it.
// Units:   none.
// Shape:   one line a record, no quoting beyond a pair of marks about a whole field.
// Time:    none.
// Errors:  number() is empty for anything but one finite number; each_line() passes on what take()
//          says of a line.
// Threads: pure.
// Source:  none (RFC 4180 is kept as far as these files need it)
// Checked: tests/dsp/core/csv_test.cpp
#pragma once

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>
#include <string_view>
#include <system_error>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::csv {

[[nodiscard]] inline std::string_view trimmed(std::string_view text) {
    constexpr std::string_view kBlank = " \t\r\"";
    const std::size_t from = text.find_first_not_of(kBlank);
    if (from == std::string_view::npos) return {};
    return text.substr(from, text.find_last_not_of(kBlank) - from + 1);
}

[[nodiscard]] inline std::optional<double> number(std::string_view text) {
    text = trimmed(text);
    if (!text.empty() && text.front() == '+') text.remove_prefix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

[[nodiscard]] inline std::vector<std::string_view> fields_of(std::string_view line) {
    std::vector<std::string_view> fields;
    for (;;) {
        const std::size_t comma = line.find(',');
        fields.push_back(trimmed(line.substr(0, comma)));
        if (comma == std::string_view::npos) return fields;
        line.remove_prefix(comma + 1);
    }
}

// No digit in it: the names of the columns.
[[nodiscard]] inline bool is_heading(std::string_view line) {
    return line.find_first_of("0123456789") == std::string_view::npos;
}

// Each line that holds something, trimmed, with its number from 1; lines that begin with # are left
// out. Ends with the first error of take(line, number), a Status.
template <typename Take>
[[nodiscard]] Status each_line(std::string_view text, Take&& take) {
    for (int number = 1; !text.empty(); ++number) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = trimmed(text.substr(0, end));
        text.remove_prefix(std::min(end + 1, text.size()));
        if (line.empty() || line.front() == '#') continue;
        if (const Status taken = take(line, number); !taken) return taken;
    }
    return Done{};
}

}  // namespace skedlark::csv
