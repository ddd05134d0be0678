// A receiver's bench from the first sheet in the log to the latest.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "dsp/bench/change.h"
#include "dsp/bench/sheet.h"
#include "dsp/log/bench_entry.h"
#include "gui/sheet/bench_plots.h"
#include "gui/sheet/bench_result.h"
#include "gui/sheet/json_view.h"
#include "gui/sheet/log_entries.h"
#include "gui/sheet/log_sheets.h"
#include "gui/sheet/phrases.h"

namespace skedlark::gui {
namespace {

using Entries = std::vector<log::Entry>;

constexpr std::size_t kMostPlots = 4;  // of one test

Table sheets_table(const Entries& entries) {
    Table table{
        "Sheets in the log",
        {{"Entry", true}, {"Day (UTC)", false}, {"By", false}, {"Result", false}, {"Note", false}},
        {}};
    for (const log::Entry& entry : entries) {
        table.rows.push_back({std::to_string(entry.id), day_of(entry.started),
                              entry.who.empty() ? kNothing : entry.who,
                              entry.outcome == "fail" ? "FAIL" : entry.outcome, entry.note});
    }
    return table;
}

Table first_and_latest(const Entries& entries) {
    Table table{fmt::format("First ({}) and latest ({})", day_of(entries.front().started),
                            day_of(entries.back().started)),
                {{"Measured", false},
                 {"First", true},
                 {"Latest", true},
                 {"Difference", true},
                 {"Verdict", false}},
                {}};
    const auto a = log::bench_measurements(entries.front());
    const auto b = log::bench_measurements(entries.back());
    for (const bench::Change& change : bench::changes(a, b)) {
        const bench::Measurement& m = change.either();
        table.rows.push_back(
            {m.at.empty() ? m.name : m.name + " (" + m.at + ")", log::side_text(change.before),
             log::side_text(change.after),
             change.difference ? bench::difference_text(m.name, *change.difference) : kNothing,
             log::verdict_of(change)});
    }
    return table;
}

// Names of figures that stand once in each sheet, those with a limit first.
std::vector<std::string> plotted_names(const Entries& entries) {
    std::map<std::string, std::pair<int, bool>> names;  // how often, with a limit
    std::vector<std::string> order;
    for (const log::Entry& entry : entries) {
        for (const log::Measurement& one : entry.measurements) {
            if (one.name.ends_with(')') || !std::isfinite(one.value)) continue;
            auto [at, is_new] = names.try_emplace(one.name, 0, false);
            if (is_new) order.push_back(one.name);
            ++at->second.first;
            at->second.second = at->second.second || std::isfinite(one.limit);
        }
    }
    std::erase_if(order, [&](const std::string& name) { return names[name].first < 2; });
    std::stable_sort(order.begin(), order.end(), [&](const auto& a, const auto& b) {
        return names[a].second && !names[b].second;
    });
    if (order.size() > kMostPlots) order.resize(kMostPlots);
    return order;
}

Plot plot_of(const Entries& entries, const std::string& name) {
    const std::string own = name.substr(name.find('.') + 1);
    Plot plot;
    plot.title = axis_title(own) + " over time";
    plot.x.title = "days since " + day_of(entries.front().started);
    plot.y.title = axis_title(own);
    PlotSeries series{own, SeriesLook::dots, {}, {}};
    double limit = std::nan("");
    for (const log::Entry& entry : entries) {
        for (const log::Measurement& one : entry.measurements) {
            if (one.name != name || !std::isfinite(one.value)) continue;
            const double half = std::isfinite(one.uncertainty_95) ? one.uncertainty_95 : 0.0;
            series.x.push_back(days_of(entry.started) - days_of(entries.front().started));
            series.y.push_back(one.value);
            series.low.push_back(one.value - half);
            series.high.push_back(one.value + half);
            if (std::isfinite(one.limit)) limit = one.limit;
            plot.said += fmt::format("{}{}: {:.4g}", plot.said.empty() ? "" : "; ",
                                     day_of(entry.started), one.value);
        }
    }
    if (std::isfinite(limit)) plot.marks.push_back({limit, false, "limit"});
    plot.series.push_back(std::move(series));
    return plot;
}

}  // namespace

Sheet history_sheet(std::span<const log::Entry> entries) {
    // By receiver, then by test in the order in which they were first made.
    std::vector<std::pair<std::string, std::string>> order;
    std::map<std::pair<std::string, std::string>, Entries> groups;
    for (const log::Entry& entry : entries) {
        const std::string test = log::bench_test_of(entry);
        if (test.empty()) continue;
        const std::pair key(entry.receiver, test);
        if (groups.find(key) == groups.end()) order.push_back(key);
        groups[key].push_back(entry);
    }
    if (order.empty()) throw BadResult("the log holds no sheet of the bench in this time");
    std::stable_sort(order.begin(), order.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    const bool one_set = order.front().first == order.back().first;
    Sheet sheet;
    sheet.title = "Bench history";
    if (one_set) {
        sheet.facts.emplace_back("Receiver",
                                 order.front().first.empty() ? "not said" : order.front().first);
    }
    sheet.facts.emplace_back("From", day_of(entries.front().started));
    sheet.facts.emplace_back("To", day_of(entries.back().started));
    for (const auto& key : order) {
        const Entries& own = groups[key];
        SheetPart part;
        part.heading = test_in_words(key.second);
        if (!one_set)
            part.heading =
                (key.first.empty() ? "No receiver named" : key.first) + ": " + part.heading;
        part.blocks.push_back(sheets_table(own));
        if (own.size() > 1) part.blocks.push_back(first_and_latest(own));
        for (const std::string& name : plotted_names(own))
            part.blocks.push_back(plot_of(own, name));
        sheet.parts.push_back(std::move(part));
    }
    SheetPart end;
    end.say(WordsKind::small,
            "+- is half of the 95 % interval. CHANGED: the difference is larger than both "
            "uncertainties "
            "together (root of the sum of their squares).");
    sheet.parts.push_back(std::move(end));
    return sheet;
}

}  // namespace skedlark::gui
