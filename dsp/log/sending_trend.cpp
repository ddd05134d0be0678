#include "dsp/log/sending_trend.h"

#include <algorithm>
#include <cmath>

namespace skedlark::log {

namespace {

constexpr std::string_view kFault = "fault_";

// Mean over what was measured.
struct Mean {
    double sum = 0.0;
    int count = 0;
    void add(double value) {
        if (!std::isfinite(value)) return;
        sum += value;
        ++count;
    }
    [[nodiscard]] double value() const { return count > 0 ? sum / count : kNotMeasured; }
};

struct Gathered {
    WeekOfSending week;
    Mean score, test_score, wpm;
};

void add_characters(const KeyedCharacters& from, KeyedCharacters& to) {
    for (const auto& [name, one] : from) {
        KeyedCharacter& sum = to[name];
        if (std::isfinite(one.off_standard)) {
            const bool first = !std::isfinite(sum.off_standard);
            const double before = first ? 0.0 : sum.off_standard * sum.off_standard * sum.keyed;
            const double weight = (first ? 0.0 : sum.keyed) + one.keyed;
            sum.off_standard =
                std::sqrt((before + one.off_standard * one.off_standard * one.keyed) / weight);
        }
        sum.keyed += one.keyed;
        sum.faulty += one.faulty;
        sum.with_text = sum.with_text || one.with_text;
    }
}

void add_entry(const Entry& entry, Gathered& to) {
    WeekOfSending& week = to.week;
    ++week.attempts;
    if (std::isfinite(entry.seconds)) week.seconds += entry.seconds;
    to.score.add(measured(entry, "score"));
    to.wpm.add(measured(entry, "overall_wpm"));
    if (std::isfinite(measured(entry, "fixed_test"))) {
        ++week.tests;
        to.test_score.add(measured(entry, "score"));
    }
    for (const Measurement& one : entry.measurements) {
        if (one.name.starts_with(kFault)) ++week.faults[one.name.substr(kFault.size())];
    }
    add_characters(keyed_characters(entry), week.characters);
}

}  // namespace

UtcTime monday_of(UtcTime time) {
    const auto day = std::chrono::floor<std::chrono::days>(time);
    return day - (std::chrono::weekday(day) - std::chrono::Monday);
}

std::vector<WeekOfSending> sending_trend(std::span<const Entry> entries) {
    std::map<UtcTime, Gathered> weeks;
    for (const Entry& entry : entries) {
        if (!is_sending(entry)) continue;
        const UtcTime monday = monday_of(entry.started);
        Gathered& week = weeks[monday];
        week.week.monday = monday;
        add_entry(entry, week);
    }
    std::vector<WeekOfSending> out;
    for (auto& [monday, one] : weeks) {
        one.week.score = one.score.value();
        one.week.test_score = one.test_score.value();
        one.week.overall_wpm = one.wpm.value();
        out.push_back(std::move(one.week));
    }
    return out;
}

std::vector<std::string> hardest_characters(std::span<const WeekOfSending> weeks) {
    KeyedCharacters all;
    for (const WeekOfSending& week : weeks) add_characters(week.characters, all);
    struct Ranked {
        std::string name;
        double share, off;
    };
    std::vector<Ranked> ranked;
    for (const auto& [name, one] : all) {
        ranked.push_back({name, (one.faulty + 1.0) / (one.keyed + 10.0),
                          std::isfinite(one.off_standard) ? one.off_standard : 0.0});
        if (one.faulty <= 0.0) ranked.back().share = 0.0;
    }
    std::stable_sort(ranked.begin(), ranked.end(), [](const Ranked& a, const Ranked& b) {
        return a.share != b.share ? a.share > b.share : a.off > b.off;
    });
    std::vector<std::string> out;
    for (const Ranked& one : ranked) out.push_back(one.name);
    return out;
}

std::vector<std::string> faults_met(std::span<const WeekOfSending> weeks) {
    std::map<std::string, int> all;
    for (const WeekOfSending& week : weeks) {
        for (const auto& [name, count] : week.faults) all[name] += count;
    }
    std::vector<std::pair<std::string, int>> ranked(all.begin(), all.end());
    std::stable_sort(ranked.begin(), ranked.end(),
                     [](const auto& a, const auto& b) { return a.second > b.second; });
    std::vector<std::string> out;
    for (const auto& [name, count] : ranked) out.push_back(name);
    return out;
}

}  // namespace skedlark::log
