#include "gui/bench/bench_rows.h"

#include <fmt/format.h>

#include <algorithm>

namespace skedlark::gui {

namespace {

// A page has the sign that a terminal may lack.
std::string with_sign(std::string text) {
    const auto at = text.find("+-");
    if (at != std::string::npos) text.replace(at, 2, "±");
    return text;
}

std::string limit_words(const bench::Limit& limit) {
    std::string words;
    if (limit.min) words += fmt::format("at least {:g}", *limit.min);
    if (limit.max) words += fmt::format("{}at most {:g}", words.empty() ? "" : ", ", *limit.max);
    return words + (limit.own ? ", our own" : "");
}

std::string judged_words(const bench::Judgement& judgement) {
    if (!judgement.pass) return "not settled";
    return std::string(*judgement.pass ? "pass" : "FAIL") + (judgement.sure ? "" : ", close");
}

}  // namespace

std::vector<ResultRow> result_rows(const bench::Sheet& sheet) {
    std::vector<ResultRow> rows;
    for (const bench::Measurement& m : sheet.report.measurements) {
        ResultRow row;
        row.what = m.at.empty() ? m.what : m.at + ": " + m.what;
        row.value = with_sign(bench::figure_text(m));
        if (const auto limit = sheet.limits.of(sheet.test, m.name)) {
            row.limit = limit_words(*limit);
            row.verdict = judged_words(bench::judge(m, *limit));
        }
        rows.push_back(std::move(row));
    }
    for (const bench::Occurrence& o : sheet.report.occurrences)
        rows.push_back({fmt::format("{} at {:.2f} s", o.kind, o.at_s), with_sign(o.said), "", ""});
    return rows;
}

std::string verdict_words(const bench::Sheet& sheet, bool kept) {
    int limits = 0, missed = 0;
    for (const bench::Measurement& m : sheet.report.measurements) {
        const auto limit = sheet.limits.of(sheet.test, m.name);
        if (!limit) continue;
        ++limits;
        missed += bench::judge(m, *limit).pass.value_or(false) ? 0 : 1;
    }
    if (missed > 0)
        return fmt::format("FAIL: {} of {} limits missed or not settled.", missed, limits);
    if (!kept) return "FAIL: the test's own condition is not met.";
    if (limits == 0) return "Measured; no limit stands for these figures.";
    return limits == 1 ? "PASS: the limit is kept."
                       : fmt::format("PASS: all {} limits kept.", limits);
}

std::vector<ChangeRow> change_rows(const log::BenchChanges& changes) {
    std::vector<ChangeRow> rows;
    for (const bench::Change& change : changes.changes) {
        const bench::Measurement& m = change.either();
        ChangeRow row;
        row.what = m.at.empty() ? m.name : m.name + " (" + m.at + ")";
        row.before = with_sign(log::side_text(change.before));
        row.after = with_sign(log::side_text(change.after));
        if (change.difference)
            row.change = with_sign(bench::difference_text(m.name, *change.difference));
        row.verdict = log::verdict_of(change);
        rows.push_back(std::move(row));
    }
    return rows;
}

std::string places_words(std::span<const bench::Sheet> sheets) {
    const auto places = bench::likely_places(sheets);
    const bool any = std::any_of(places.begin(), places.end(),
                                 [](const auto& place) { return !place.because.empty(); });
    std::string words =
        any ? "Where to look first, by what was measured. Hints, no verdicts:\n"
            : "Nothing measured so far speaks for a place. The order of experience; a hint, no "
              "verdict:\n";
    int number = 0;
    for (const bench::LikelyPlace& place : places) {
        if (any && place.because.empty()) continue;
        words += fmt::format("{}. {}\n", ++number, place.place);
        for (const std::string& why : place.because) words += "      " + with_sign(why) + "\n";
    }
    return words;
}

std::string guide_words() {
    std::string words;
    for (const std::string& caution : bench::fault_cautions()) words += caution + "\n";
    for (const bench::FaultSymptom& symptom : bench::fault_guide()) {
        words += "\n" + symptom.symptom + "\n   Measure:";
        for (std::size_t i = 0; i < symptom.measure.size(); ++i)
            words += (i > 0 ? ", " : " ") + symptom.measure[i];
        words += ". Then look, in this order:\n";
        for (std::size_t i = 0; i < symptom.causes.size(); ++i) {
            const bench::FaultCause& cause = symptom.causes[i];
            words +=
                fmt::format("   {}. {}. {}. {}\n", i + 1, cause.place, cause.shows, cause.look);
        }
    }
    std::erase(words, '`');
    return words;
}

}  // namespace skedlark::gui
