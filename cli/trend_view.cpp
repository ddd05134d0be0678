#include "cli/trend_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/log_view.h"
#include "cli/terminal.h"

namespace skedlark::cli {

namespace {

using Json = nlohmann::ordered_json;

constexpr std::size_t kShownWeeks = 8;  // by character: the latest
constexpr std::size_t kShownCharacters = 10;

Json number(double value, int decimals) {
    if (!std::isfinite(value)) return nullptr;
    const double scale = std::pow(10.0, decimals);
    return std::round(value * scale) / scale;
}

std::string shown(double value) {
    return std::isfinite(value) ? fmt::format("{:.1f}", value) : "n/a";
}

std::string day_of(UtcTime time) { return utc_text(time).substr(0, 10); }

std::string faults_of(const log::WeekOfSending& week) {
    std::string out;
    for (const auto& [name, count] : week.faults) {
        out += fmt::format("{}{} {}", out.empty() ? "" : ", ", name, count);
    }
    return out.empty() ? "none" : out;
}

std::string character_cell(const log::WeekOfSending& week, const std::string& name) {
    const auto found = week.characters.find(name);
    if (found == week.characters.end()) return "-";
    const log::KeyedCharacter& one = found->second;
    return one.with_text ? fmt::format("{:.0f}/{:.0f}", one.faulty, one.keyed)
                         : fmt::format("{:.0f}%", 100.0 * one.off_standard);
}

std::string by_character(const std::vector<log::WeekOfSending>& weeks) {
    const auto names = log::hardest_characters(weeks);
    if (names.empty()) return "";
    const std::size_t from = weeks.size() - std::min(weeks.size(), kShownWeeks);
    std::string out =
        "\nHardest characters, faulty/keyed (without a text: how far off the rhythm)\n ";
    for (std::size_t i = from; i < weeks.size(); ++i) {
        out += fmt::format(" {:>8}", day_of(weeks[i].monday).substr(5));
    }
    out += "\n";
    for (std::size_t n = 0; n < std::min(names.size(), kShownCharacters); ++n) {
        out += names[n];
        for (std::size_t i = from; i < weeks.size(); ++i) {
            out += fmt::format(" {:>8}", character_cell(weeks[i], names[n]));
        }
        out += "\n";
    }
    return out;
}

}  // namespace

std::string trend_text(const std::vector<log::WeekOfSending>& weeks, const std::string& who) {
    if (weeks.empty()) return "";
    std::string out = fmt::format("\nWeeks of {} (from Monday, UTC)\n", who);
    out += "week        sent  score    wpm  tests  test score  faults (in attempts)\n";
    for (const log::WeekOfSending& week : weeks) {
        const std::string left = fmt::format(
            "{}  {:>4}  {:>5}  {:>5}  {:>5}  {:>10}  ", day_of(week.monday), week.attempts,
            shown(week.score), shown(week.overall_wpm), week.tests, shown(week.test_score));
        out += left + cut_to(faults_of(week), static_cast<std::size_t>(kPlainWidth) - left.size()) +
               "\n";
    }
    return out + by_character(weeks);
}

std::string trend_json(const std::vector<log::WeekOfSending>& weeks) {
    std::string out;
    for (const log::WeekOfSending& week : weeks) {
        Json line = {{"event", "sending_week"},
                     {"monday", day_of(week.monday)},
                     {"attempts", week.attempts},
                     {"tests", week.tests},
                     {"seconds", number(week.seconds, 1)},
                     {"score", number(week.score, 1)},
                     {"test_score", number(week.test_score, 1)},
                     {"overall_wpm", number(week.overall_wpm, 2)},
                     {"faults", Json::object()},
                     {"characters", Json::object()}};
        for (const auto& [name, count] : week.faults) line["faults"][name] = count;
        for (const auto& [name, one] : week.characters) {
            line["characters"][name] = {
                {"keyed", one.keyed},
                {"faulty", one.with_text ? Json(one.faulty) : Json(nullptr)},
                {"off_standard", number(one.off_standard, 3)}};
        }
        out += line.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
    }
    return out;
}

}  // namespace skedlark::cli
