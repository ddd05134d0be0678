#include "dsp/bench/step_file.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <limits>
#include <optional>

namespace skedlark::bench {
namespace {

std::string_view trimmed(std::string_view text) {
    const auto from = text.find_first_not_of(" \t\r");
    if (from == std::string_view::npos) return {};
    return text.substr(from, text.find_last_not_of(" \t\r") - from + 1);
}

std::optional<double> number(std::string_view text) {
    text = trimmed(text);
    if (!text.empty() && text.front() == '+') text.remove_prefix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size() || !std::isfinite(value))
        return std::nullopt;
    return value;
}

std::vector<std::string_view> fields_of(std::string_view line) {
    std::vector<std::string_view> fields;
    for (;;) {
        const auto comma = line.find(',');
        fields.push_back(trimmed(line.substr(0, comma)));
        if (comma == std::string_view::npos) return fields;
        line.remove_prefix(comma + 1);
    }
}

// Each line that holds something; take() returns whether it could be used.
template <typename Take>
Status each_line(std::string_view csv, const std::string& file, const char* allowed, Take&& take) {
    bool first = true;
    for (int line_number = 1; !csv.empty(); ++line_number) {
        const std::size_t end = std::min(csv.find('\n'), csv.size());
        const std::string_view line = trimmed(csv.substr(0, end));
        csv.remove_prefix(std::min(end + 1, csv.size()));
        if (line.empty() || line.front() == '#') continue;
        const bool heading = first && line.find_first_of("0123456789") == std::string_view::npos;
        first = false;
        if (heading) continue;
        if (!take(fields_of(line))) {
            return Error{ErrorCode::damaged,
                         fmt::format("{}:{}: '{}' cannot be used; allowed: {}", file, line_number,
                                     line.substr(0, 60), allowed)};
        }
    }
    return Done{};
}

}  // namespace

Result<std::vector<GeneratorStep>> parse_generator_steps(std::string_view csv,
                                                         const std::string& file) {
    std::vector<GeneratorStep> steps;
    const Status read =
        each_line(csv, file, "from_s,to_s,db,above or below[,khz]", [&](const auto& fields) {
            if (fields.size() != 4 && fields.size() != 5) return false;
            const auto from = number(fields[0]), to = number(fields[1]), db = number(fields[2]);
            const auto khz = fields.size() == 5 ? number(fields[4]) : std::optional<double>(0.0);
            const bool above = fields[3] == "above";
            if (!from || !to || !db || !khz || (!above && fields[3] != "below")) return false;
            steps.push_back(
                {{*from, *to}, *db, above ? BeatSide::above : BeatSide::below, 1000.0 * *khz});
            return true;
        });
    if (!read) return read.error();
    return steps;
}

Result<std::vector<CheckPoint>> parse_check_points(std::string_view csv, const std::string& file) {
    std::vector<CheckPoint> points;
    const Status read = each_line(csv, file, "mhz,div[,below or above]", [&](const auto& fields) {
        if (fields.size() != 2 && fields.size() != 3) return false;
        const auto mhz = number(fields[0]), div = number(fields[1]);
        if (!mhz || !div) return false;
        CheckPoint point{*mhz, *div, Approach::not_said};
        if (fields.size() == 3) {
            if (fields[2] != "below" && fields[2] != "above") return false;
            point.approach = fields[2] == "below" ? Approach::from_below : Approach::from_above;
        }
        points.push_back(point);
        return true;
    });
    if (!read) return read.error();
    return points;
}

Result<Stretch> parse_stretch(const std::string& field, std::string_view text) {
    constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
    const auto dash = text.find('-');
    const double from = number(text.substr(0, dash)).value_or(kNone);
    const double to =
        dash == std::string_view::npos ? kNone : number(text.substr(dash + 1)).value_or(kNone);
    if (!(to > from)) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{}: '{}' is no stretch; allowed: FROM-TO in seconds, such as 20-31", field,
                        text)};
    }
    return Stretch{from, to};
}

Result<SupplyMark> parse_supply(const std::string& field, std::string_view text) {
    const auto equals = text.find('=');
    const auto at = number(text.substr(0, equals));
    const std::string_view word =
        equals == std::string_view::npos ? std::string_view() : trimmed(text.substr(equals + 1));
    if (at && word == "low") return SupplyMark{*at, Supply::low};
    if (at && word == "normal") return SupplyMark{*at, Supply::normal};
    if (at && word == "high") return SupplyMark{*at, Supply::high};
    return Error{
        ErrorCode::invalid_value,
        fmt::format("{}: '{}' is no mark; allowed: SECONDS=low, =normal or =high", field, text)};
}

}  // namespace skedlark::bench
