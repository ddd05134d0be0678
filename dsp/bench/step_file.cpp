#include "dsp/bench/step_file.h"

#include <fmt/format.h>

#include <limits>
#include <optional>
#include <utility>

#include "dsp/core/csv.h"

namespace skedlark::bench {
namespace {

// Each line but a heading; take() returns whether it could be used.
template <typename Take>
Status each_row(std::string_view text, const std::string& file, const char* allowed, Take&& take) {
    bool begun = false;
    return csv::each_line(text, [&](std::string_view line, int at) -> Status {
        if (!std::exchange(begun, true) && csv::is_heading(line)) return Done{};
        if (take(csv::fields_of(line))) return Done{};
        return Error{ErrorCode::damaged, fmt::format("{}:{}: '{}' cannot be used; allowed: {}",
                                                     file, at, line.substr(0, 60), allowed)};
    });
}

}  // namespace

Result<std::vector<GeneratorStep>> parse_generator_steps(std::string_view text,
                                                         const std::string& file) {
    std::vector<GeneratorStep> steps;
    const Status read =
        each_row(text, file, "from_s,to_s,db,above or below[,khz]", [&](const auto& fields) {
            if (fields.size() != 4 && fields.size() != 5) return false;
            const auto from = csv::number(fields[0]), to = csv::number(fields[1]),
                       db = csv::number(fields[2]);
            const auto khz =
                fields.size() == 5 ? csv::number(fields[4]) : std::optional<double>(0.0);
            const bool above = fields[3] == "above";
            if (!from || !to || !db || !khz || (!above && fields[3] != "below")) return false;
            steps.push_back(
                {{*from, *to}, *db, above ? BeatSide::above : BeatSide::below, 1000.0 * *khz});
            return true;
        });
    if (!read) return read.error();
    return steps;
}

Result<std::vector<CheckPoint>> parse_check_points(std::string_view text, const std::string& file) {
    std::vector<CheckPoint> points;
    const Status read = each_row(text, file, "mhz,div[,below or above]", [&](const auto& fields) {
        if (fields.size() != 2 && fields.size() != 3) return false;
        const auto mhz = csv::number(fields[0]), div = csv::number(fields[1]);
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
    const double from = csv::number(text.substr(0, dash)).value_or(kNone);
    const double to =
        dash == std::string_view::npos ? kNone : csv::number(text.substr(dash + 1)).value_or(kNone);
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
    const auto at = csv::number(text.substr(0, equals));
    const std::string_view word = equals == std::string_view::npos
                                      ? std::string_view()
                                      : csv::trimmed(text.substr(equals + 1));
    if (at && word == "low") return SupplyMark{*at, Supply::low};
    if (at && word == "normal") return SupplyMark{*at, Supply::normal};
    if (at && word == "high") return SupplyMark{*at, Supply::high};
    return Error{
        ErrorCode::invalid_value,
        fmt::format("{}: '{}' is no mark; allowed: SECONDS=low, =normal or =high", field, text)};
}

}  // namespace skedlark::bench
