// The instructor's sheet: attempts by day, trend, faults and characters.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

#include "dsp/log/line_trend.h"
#include "dsp/log/practice_record.h"
#include "dsp/log/sending_trend.h"
#include "gui/sheet/json_view.h"
#include "gui/sheet/log_entries.h"
#include "gui/sheet/log_sheets.h"
#include "gui/sheet/phrases.h"

namespace skedlark::gui {
namespace {

using Entries = std::vector<log::Entry>;

constexpr std::size_t kMostRows = 12;
constexpr double kDaysNamed = 14.0;  // longer times are counted, not named

bool is_test(const log::Entry& entry) { return std::isfinite(log::measured(entry, "fixed_test")); }
double score_of(const log::Entry& entry) { return log::measured(entry, "score"); }
double right_of(const log::Entry& entry) { return log::measured(entry, "copied_right_share"); }

struct Mean {
    double sum = 0.0;
    int count = 0;
    void add(double value) {
        if (!std::isfinite(value)) return;
        sum += value;
        ++count;
    }
    [[nodiscard]] double value() const { return count > 0 ? sum / count : std::nan(""); }
};

struct Day {
    int attempts = 0;
    double seconds = 0.0;
    Mean free, test, copied;
};

std::map<std::string, Day> days_of_entries(const Entries& entries) {
    std::map<std::string, Day> days;
    for (const log::Entry& entry : entries) {
        Day& day = days[day_of(entry.started)];
        ++day.attempts;
        if (std::isfinite(entry.seconds)) day.seconds += entry.seconds;
        (is_test(entry) ? day.test : day.free).add(score_of(entry));
        day.copied.add(right_of(entry));
    }
    return days;
}

std::string with_count(const Mean& mean, int decimals, const char* unit, double scale) {
    if (mean.count == 0) return kNothing;
    return fmt::format("{} ({} ×)", shown(scale * mean.value(), decimals, unit), mean.count);
}

Table days_table(const Entries& entries) {
    Table table{"By day (mean, number of attempts)",
                {{"Day (UTC)", false},
                 {"Attempts", true},
                 {"Sent", true},
                 {"Free sending, score", true},
                 {"Fixed test, score", true},
                 {"Copied right", true}},
                {}};
    for (const auto& [name, day] : days_of_entries(entries)) {
        table.rows.push_back({name, std::to_string(day.attempts), clock_of(day.seconds),
                              with_count(day.free, 1, "", 1.0), with_count(day.test, 1, "", 1.0),
                              with_count(day.copied, 0, "%", 100.0)});
    }
    return table;
}

// Each attempt where its time is.
Plot over_days(const Entries& entries, const char* title, const char* y_title) {
    Plot plot;
    plot.title = title;
    plot.y.title = y_title;
    plot.y.from = 0.0;
    plot.y.to = 105.0;
    const double first = std::floor(days_of(entries.front().started));
    const double last = std::floor(days_of(entries.back().started));
    if (last - first > kDaysNamed) {
        plot.x.title = "days since " + day_of(entries.front().started);
        return plot;
    }
    plot.x.title = "day (UTC)";
    plot.x.from = -0.2;
    plot.x.to = last - first + 1.2;
    for (double day = first; day <= last; day += 1.0) {
        const UtcTime at{std::chrono::milliseconds(std::llround(86400000.0 * day))};
        plot.x.names.push_back(day_of(at).substr(5));
    }
    return plot;
}

PlotSeries attempts(const Entries& entries, const char* name, double scale,
                    const std::function<double(const log::Entry&)>& value) {
    PlotSeries series{name, SeriesLook::dots, {}, {}};
    const double first = std::floor(days_of(entries.front().started));
    for (const log::Entry& entry : entries) {
        const double y = value(entry);
        if (!std::isfinite(y)) continue;
        series.x.push_back(days_of(entry.started) - first);
        series.y.push_back(scale * y);
    }
    return series;
}

std::string trend_in_words(const PlotSeries& series, const char* what) {
    std::vector<log::DatedValue> values;
    for (std::size_t i = 0; i < series.x.size(); ++i) values.push_back({series.x[i], series.y[i]});
    const auto trend = log::line_trend(values);
    if (!trend) return "";
    const std::string slope = fmt::format("{:+.1f} ± {:.1f} a week (95 %)", 7.0 * trend->per_day,
                                          7.0 * trend->half_width_95);
    if (!trend->clear()) return fmt::format("{}: no clear trend, {}.", what, slope);
    return fmt::format("{}: {}, {}.", what, trend->per_day > 0.0 ? "rises" : "falls", slope);
}

void add_plot(SheetPart& part, Plot plot, const std::vector<PlotSeries>& all,
              const std::vector<const char*>& whats) {
    std::vector<std::string> trends;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (all[i].x.empty()) continue;
        Mean mean;
        for (const double y : all[i].y) mean.add(y);
        plot.said += fmt::format("{}{}: {} attempts, mean {:.1f}", plot.said.empty() ? "" : "; ",
                                 all[i].name, all[i].x.size(), mean.value());
        if (std::string said = trend_in_words(all[i], whats[i]); !said.empty())
            trends.push_back(std::move(said));
        plot.series.push_back(all[i]);
    }
    if (plot.series.empty()) return;
    for (std::string& said : trends) part.say(std::move(said));
    part.blocks.push_back(std::move(plot));
}

void add_trends(SheetPart& part, const Entries& entries) {
    const auto free = [](const log::Entry& e) { return is_test(e) ? std::nan("") : score_of(e); };
    const auto test = [](const log::Entry& e) { return is_test(e) ? score_of(e) : std::nan(""); };
    add_plot(
        part, over_days(entries, "Score of what was sent", "score"),
        {attempts(entries, "free practice", 1.0, free), attempts(entries, "fixed test", 1.0, test)},
        {"Free sending", "The fixed test"});
    add_plot(part, over_days(entries, "Copied right", "right (%)"),
             {attempts(entries, "copied right", 100.0, right_of)}, {"Copying"});
}

void add_faults(SheetPart& part, const std::vector<log::WeekOfSending>& weeks) {
    int sendings = 0;
    for (const auto& week : weeks) sendings += week.attempts;
    Table table{fmt::format("Faults, by how many of {} sendings have them", sendings),
                {{"Fault", false}, {"Sendings", true}, {"Share", true}},
                {}};
    for (const std::string& name : log::faults_met(weeks)) {
        int count = 0;
        for (const auto& week : weeks) {
            const auto found = week.faults.find(name);
            count += found == week.faults.end() ? 0 : found->second;
        }
        std::string words = name;
        std::replace(words.begin(), words.end(), '_', ' ');
        table.rows.push_back(
            {words, std::to_string(count), percent(static_cast<double>(count) / sendings)});
    }
    if (!table.rows.empty()) {
        part.blocks.push_back(std::move(table));
    } else if (sendings > 0) {
        part.say("No fault of hand or transmitter stood out in any sending.");
    }
}

void add_sent_characters(SheetPart& part, const std::vector<log::WeekOfSending>& weeks) {
    log::KeyedCharacters all;
    for (const auto& week : weeks) {
        for (const auto& [name, one] : week.characters) {
            all[name].keyed += one.keyed;
            all[name].faulty += one.faulty;
            all[name].with_text = all[name].with_text || one.with_text;
        }
    }
    Table table{"Characters sent, the hardest first",
                {{"Character", false}, {"Sent", true}, {"Not right", true}},
                {}};
    for (const std::string& name : log::hardest_characters(weeks)) {
        if (table.rows.size() == kMostRows) break;
        const log::KeyedCharacter& one = all[name];
        table.rows.push_back(
            {name, shown(one.keyed, 0), one.with_text ? shown(one.faulty, 0) : kNothing});
    }
    if (!table.rows.empty()) part.blocks.push_back(std::move(table));
}

void add_copied_characters(SheetPart& part, const log::PracticeRecord& record) {
    std::vector<std::pair<std::string, fist::CharacterTally>> all(record.copied_characters.begin(),
                                                                  record.copied_characters.end());
    std::erase_if(all, [](const auto& one) { return !(one.second.wrong > 0.0); });
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
        return a.second.wrong * b.second.sent > b.second.wrong * a.second.sent;
    });
    Table table{fmt::format("Characters copied wrong, of the last {} exercises", record.copied),
                {{"Character", false}, {"Sent", true}, {"Wrong", true}, {"Share", true}},
                {}};
    for (const auto& [name, tally] : all) {
        if (table.rows.size() == kMostRows) break;
        table.rows.push_back(
            {name, shown(tally.sent, 0), shown(tally.wrong, 0), percent(tally.wrong / tally.sent)});
    }
    if (!table.rows.empty()) part.blocks.push_back(std::move(table));
    Table pairs{"Taken for what", {{"Sent", false}, {"Typed", false}, {"Times", true}}, {}};
    for (const fist::ConfusionPair& pair : record.pairs) {
        if (pairs.rows.size() == kMostRows) break;
        pairs.rows.push_back({pair.sent, pair.typed, std::to_string(pair.count)});
    }
    if (!pairs.rows.empty()) part.blocks.push_back(std::move(pairs));
}

}  // namespace

Sheet practice_sheet(std::span<const log::Entry> entries) {
    std::map<std::string, Entries> people;
    for (const log::Entry& entry : entries) {
        if (entry.kind == log::kPractice) people[entry.who].push_back(entry);
    }
    if (people.empty()) throw BadResult("the log holds no practice in this time");
    Sheet sheet;
    sheet.title = people.size() == 1 && !people.begin()->first.empty()
                      ? "Practice of " + people.begin()->first
                      : "Practice";
    sheet.facts = {{"From", day_of(entries.front().started)},
                   {"To", day_of(entries.back().started)}};
    for (const auto& [who, own] : people) {
        SheetPart part;
        if (people.size() > 1) part.heading = who.empty() ? "Nobody's name" : who;
        part.say(counted(static_cast<long>(own.size()), "attempt", "attempts") + " in all.");
        part.blocks.push_back(days_table(own));
        add_trends(part, own);
        const auto weeks = log::sending_trend(own);
        add_faults(part, weeks);
        add_sent_characters(part, weeks);
        add_copied_characters(part, log::practice_record(own));
        sheet.parts.push_back(std::move(part));
    }
    SheetPart end;
    end.say(
        WordsKind::small,
        "The fixed test is the text of skedlark drill --kind test: the same each time, so that "
        "weeks "
        "can be compared; free practice is any other text. A trend is the slope of a straight line "
        "with its 95 % interval; it is clear where the interval leaves out zero.");
    sheet.parts.push_back(std::move(end));
    return sheet;
}

}  // namespace skedlark::gui
