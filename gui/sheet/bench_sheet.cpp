#include "gui/sheet/bench_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/bench/cautions.h"
#include "dsp/bench/change.h"
#include "dsp/bench/sheet.h"
#include "gui/sheet/bench_plots.h"
#include "gui/sheet/phrases.h"

namespace skedlark::gui {
namespace {

std::string value_in_words(const bench::Measurement& m) {
    const std::string value =
        shown(m.figure.value, bench::decimals_of(m.figure), bench::unit_of(m.name));
    if (m.known == bench::Known::at_most) return "below " + value;
    return m.known == bench::Known::at_least ? "above " + value : value;
}

std::string uncertainty_in_words(const bench::Measurement& m) {
    if (m.known != bench::Known::value || !std::isfinite(m.figure.uncertainty_95)) return kNothing;
    return "± " + shown(m.figure.uncertainty_95, bench::decimals_of(m.figure));
}

std::string limit_in_words(const std::optional<bench::Limit>& limit) {
    if (!limit) return kNothing;
    std::string words;
    if (limit->min) words = fmt::format("at least {:g}", *limit->min);
    if (limit->max) words += fmt::format("{}at most {:g}", words.empty() ? "" : ", ", *limit->max);
    return words + (limit->own ? " *" : "");
}

std::string name_in_words(const bench::Measurement& m) {
    const std::string what = m.what.empty() ? m.name : m.what;
    return m.at.empty() ? what : m.at + ": " + what;
}

struct Count {
    int limits = 0;
    int missed = 0;
    int unsettled = 0;
};
Count count_of(const BenchTest& test) {
    Count count;
    for (const BenchRow& row : test.rows) {
        if (!row.limit) continue;
        ++count.limits;
        count.missed += row.judgement.pass == false ? 1 : 0;
        count.unsettled += !row.judgement.pass ? 1 : 0;
    }
    return count;
}

std::string verdict_of(const Count& count) {
    if (count.missed > 0)
        return fmt::format("FAIL: {} of {} limits missed", count.missed, count.limits);
    if (count.unsettled > 0)
        return fmt::format("not settled: {} of {} limits", count.unsettled, count.limits);
    return count.limits == 0 ? "no limit" : "pass";
}

std::string missed_in_words(const std::vector<BenchTest>& tests) {
    std::string list;
    for (const BenchTest& test : tests) {
        for (const BenchRow& row : test.rows) {
            if (row.kept()) continue;
            list += (list.empty() ? "" : "; ") + test_in_words(test.test) + ", " +
                    name_in_words(row.measured);
        }
    }
    return list;
}

SheetPart summary_of(const std::vector<BenchTest>& tests) {
    SheetPart part;
    Count all;
    Table table{
        "Tests",
        {{"Test", false}, {"Recording", false}, {"Measured with", false}, {"Limits", false}},
        {}};
    for (const BenchTest& test : tests) {
        const Count count = count_of(test);
        all.limits += count.limits;
        all.missed += count.missed;
        all.unsettled += count.unsettled;
        table.rows.push_back({test_in_words(test.test),
                              fmt::format("{}, {}", file_name(test.input), clock_of(test.seconds)),
                              test.chain.empty() ? "chain not measured" : "chain " + test.chain,
                              verdict_of(count)});
    }
    if (all.missed > 0) {
        part.say(WordsKind::verdict,
                 fmt::format("FAIL: {} of {} limits missed.", all.missed, all.limits));
    } else if (all.unsettled > 0) {
        part.say(WordsKind::verdict,
                 fmt::format("NOT SETTLED: {} of {} limits.", all.unsettled, all.limits));
    } else if (all.limits == 0) {
        part.say(WordsKind::verdict, "No limit was set: nothing is judged.");
    } else {
        part.say(WordsKind::verdict, fmt::format("PASS: all {} limits kept.", all.limits));
    }
    if (const std::string missed = missed_in_words(tests); !missed.empty())
        part.say("Not kept: " + missed + ".");
    part.blocks.push_back(std::move(table));
    return part;
}

Table rows_table(const BenchTest& test) {
    Table table{"",
                {{"Measured", false},
                 {"Value", true},
                 {"95 %", true},
                 {"Limit", false},
                 {"Verdict", false}},
                {}};
    for (const BenchRow& row : test.rows) {
        table.rows.push_back({name_in_words(row.measured), value_in_words(row.measured),
                              uncertainty_in_words(row.measured), limit_in_words(row.limit),
                              row.verdict()});
    }
    return table;
}

Table events_table(const BenchTest& test) {
    Table table{"Events",
                {{"At", true}, {"What", false}, {"Length", true}, {"Depth", true}, {"", false}},
                {}};
    constexpr std::size_t kMost = 40;
    for (const bench::Occurrence& one : test.occurrences) {
        if (table.rows.size() == kMost) {
            table.rows.push_back({kNothing,
                                  fmt::format("and {} more", test.occurrences.size() - kMost), "",
                                  "", ""});
            break;
        }
        table.rows.push_back({shown(one.at_s, 2, "s"), one.kind,
                              shown(1000.0 * one.length_s, 0, "ms"),
                              one.depth_db ? shown(*one.depth_db, 1, "dB") : kNothing, one.said});
    }
    return table;
}

std::string change_in_words(const bench::Change& change) {
    if (!change.before || !change.after) return "only in one";
    if (!change.changed) return "cannot be told";
    if (!*change.changed) return "not changed";
    const bool up = change.after->figure.value > change.before->figure.value;
    return up ? "CHANGED: higher" : "CHANGED: lower";
}

std::string side_in_words(const std::optional<bench::Measurement>& m) {
    if (!m) return kNothing;
    const std::string half = uncertainty_in_words(*m);
    return value_in_words(*m) + (half == kNothing ? "" : " " + half);
}

Table changes_table(const BenchTest& before, const BenchTest& after) {
    Table table{"Before and after",
                {{"Measured", false},
                 {"Before", true},
                 {"After", true},
                 {"Difference", true},
                 {"Verdict", false}},
                {}};
    const auto a = before.measurements();
    const auto b = after.measurements();
    for (const bench::Change& change : bench::changes(a, b)) {
        std::string difference = kNothing;
        if (change.difference) {
            const int decimals = bench::decimals_of(*change.difference);
            difference = fmt::format("{:+.{}f} ± {:.{}f}", change.difference->value, decimals,
                                     change.difference->uncertainty_95, decimals);
        }
        // The newer result has the better words.
        const bench::Measurement& named = change.after ? *change.after : *change.before;
        table.rows.push_back({name_in_words(named), side_in_words(change.before),
                              side_in_words(change.after), difference, change_in_words(change)});
    }
    return table;
}

const BenchTest* same_test(const std::vector<BenchTest>& tests, const BenchTest& wanted) {
    const auto found = std::find_if(tests.begin(), tests.end(),
                                    [&](const BenchTest& one) { return one.test == wanted.test; });
    return found == tests.end() ? nullptr : &*found;
}

SheetPart part_of(const BenchTest& test, const BenchTest* before) {
    SheetPart part;
    part.heading = test_in_words(test.test);
    if (!test.complete) {
        part.say(WordsKind::caution,
                 "This result ends before its last line: figures may be missing.");
    }
    if (!test.rows.empty()) part.blocks.push_back(rows_table(test));
    if (before != nullptr) part.blocks.push_back(changes_table(*before, test));
    for (Plot& plot : bench_plots(test, before)) part.blocks.push_back(std::move(plot));
    if (!test.occurrences.empty()) part.blocks.push_back(events_table(test));
    for (const std::string& note : test.notes) part.say(note);
    return part;
}

// A supply that was measured is worth more than one that was told.
std::string supply_in_words(const std::vector<BenchTest>& tests, const std::string& told) {
    for (const BenchTest& test : tests) {
        const BenchRow* row = test.row("supply_hz");
        if (row == nullptr) continue;
        return (told.empty() ? "" : told + "; ") + side_in_words(row->measured) + " (measured)";
    }
    return told.empty() ? "not said" : told;
}

}  // namespace

Sheet bench_sheet(const Results& results, const BenchWishes& wishes) {
    const auto tests = bench_tests(results);
    const auto before = wishes.before ? bench_tests(*wishes.before) : std::vector<BenchTest>{};
    Sheet sheet;
    sheet.title = "Bench sheet";
    sheet.facts = {{"Receiver", wishes.receiver.empty() ? "not said" : wishes.receiver},
                   {"Supply", supply_in_words(tests, wishes.supply)}};
    sheet.parts.push_back(summary_of(tests));
    bool any_before = false;
    for (const BenchTest& test : tests) {
        const BenchTest* other = same_test(before, test);
        any_before = any_before || other != nullptr;
        sheet.parts.push_back(part_of(test, other));
    }
    SheetPart end;
    if (wishes.before && !any_before) {
        end.say(WordsKind::caution,
                "What was measured before holds none of these tests: nothing is compared.");
    }
    end.say(
        WordsKind::small,
        "± is half of the 95 % interval. * marks limits that are the project's own: no standard "
        "gives any for a set of this kind. \"Close\": the limit lies within the uncertainty. "
        "\"Changed\": the difference is larger than both uncertainties together (root of the sum "
        "of their squares); where one is a bound, only bounds that exclude each other tell.");
    end.say(WordsKind::caution, bench::kHighVoltageCaution);
    sheet.parts.push_back(std::move(end));
    return sheet;
}

}  // namespace skedlark::gui
