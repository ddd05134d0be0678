#include "gui/fist/trend_lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

constexpr std::size_t kHardestShown = 5;

double value_of(const log::WeekOfSending& week, const TrendChoice& choice) {
    switch (choice.of) {
        case TrendOf::score:
            return week.score;
        case TrendOf::test_score:
            return week.test_score;
        case TrendOf::speed:
            return week.overall_wpm;
        case TrendOf::fault: {
            const auto found = week.faults.find(choice.which);
            const int count = found == week.faults.end() ? 0 : found->second;
            return week.attempts > 0 ? 100.0 * count / week.attempts : log::kNotMeasured;
        }
        case TrendOf::character: {
            const auto found = week.characters.find(choice.which);
            if (found == week.characters.end() || !found->second.with_text) {
                return log::kNotMeasured;
            }
            return 100.0 * found->second.faulty / found->second.keyed;
        }
    }
    return log::kNotMeasured;
}

std::string shown(double value) {
    return std::isfinite(value) ? fmt::format("{:.1f}", value) : "n/a";
}

std::string hardest_of(const log::WeekOfSending& week) {
    std::string out;
    std::size_t count = 0;
    for (const std::string& name : log::hardest_characters({&week, 1})) {
        const log::KeyedCharacter& one = week.characters.at(name);
        if (one.faulty <= 0.0 || count++ == kHardestShown) break;
        out +=
            fmt::format("{}{} {:.0f}/{:.0f}", out.empty() ? "" : ", ", name, one.faulty, one.keyed);
    }
    return out;
}

}  // namespace

std::string in_words(std::string fault_name) {
    std::replace(fault_name.begin(), fault_name.end(), '_', ' ');
    return fault_name;
}

std::vector<TrendChoice> trend_choices(const std::vector<log::WeekOfSending>& weeks) {
    std::vector<TrendChoice> out = {
        {TrendOf::score, "", "Score, mean of the week", "score"},
        {TrendOf::test_score, "", "Score of the fixed test", "score"},
        {TrendOf::speed, "", "Speed with the gaps as sent", "words a minute"}};
    for (const std::string& name : log::faults_met(weeks)) {
        out.push_back({TrendOf::fault, name, "Fault: " + in_words(name), "% of attempts"});
    }
    for (const std::string& name : log::hardest_characters(weeks)) {
        out.push_back({TrendOf::character, name, "Character: " + name, "% faulty"});
    }
    return out;
}

std::vector<TrendPoint> trend_line(const std::vector<log::WeekOfSending>& weeks,
                                   const TrendChoice& choice) {
    std::vector<TrendPoint> out;
    for (const log::WeekOfSending& week : weeks) {
        const double value = value_of(week, choice);
        if (std::isfinite(value)) out.push_back({week.monday, value});
    }
    return out;
}

std::vector<TrendRow> trend_rows(const std::vector<log::WeekOfSending>& weeks) {
    std::vector<TrendRow> out;
    for (const log::WeekOfSending& week : weeks) {
        TrendRow row;
        row.week = utc_text(week.monday).substr(0, 10);
        row.attempts = std::to_string(week.attempts);
        row.score = shown(week.score);
        row.speed = shown(week.overall_wpm);
        row.tests = std::to_string(week.tests);
        row.test_score = shown(week.test_score);
        for (const auto& [name, count] : week.faults) {
            row.faults +=
                fmt::format("{}{} {}", row.faults.empty() ? "" : ", ", in_words(name), count);
        }
        if (row.faults.empty()) row.faults = "none";
        row.hardest = hardest_of(week);
        out.push_back(std::move(row));
    }
    return out;
}

}  // namespace skedlark::gui
