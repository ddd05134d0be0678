#include "dsp/log/bench_entry.h"

#include <fmt/format.h>

#include <cmath>
#include <string_view>

namespace skedlark::log {

namespace {

using bench::Known;

constexpr std::string_view kAtMost = " (at most)";
constexpr std::string_view kAtLeast = " (at least)";

std::string logged_name(const std::string& test, const bench::Measurement& m) {
    std::string name = test + "." + m.name;
    if (!m.at.empty()) name += " (" + m.at + ")";
    if (m.known == Known::at_most) name += kAtMost;
    if (m.known == Known::at_least) name += kAtLeast;
    return name;
}

bool takes_ending(std::string& text, std::string_view ending) {
    if (!text.ends_with(ending)) return false;
    text.resize(text.size() - ending.size());
    return true;
}

bench::Measurement measurement_of(const Measurement& logged) {
    bench::Measurement m;
    m.name = logged.name.substr(logged.name.find('.') + 1);
    if (takes_ending(m.name, kAtMost)) {
        m.known = Known::at_most;
    } else if (takes_ending(m.name, kAtLeast)) {
        m.known = Known::at_least;
    }
    const std::size_t open = m.name.find(" (");
    if (open != std::string::npos && m.name.ends_with(')')) {
        m.at = m.name.substr(open + 2, m.name.size() - open - 3);
        m.name.resize(open);
    }
    m.figure.value = logged.value;
    m.figure.uncertainty_95 = m.known == Known::value ? logged.uncertainty_95 : 0.0;
    return m;
}

// The log holds one number; of two ends the one that is nearer, or missed.
double limit_to_log(const bench::Limit& limit, double value) {
    if (!limit.min) return limit.max.value_or(kNotMeasured);
    if (!limit.max) return *limit.min;
    return std::abs(value - *limit.min) < std::abs(value - *limit.max) ? *limit.min : *limit.max;
}

Measurement to_log(const bench::Sheet& sheet, const bench::Measurement& m) {
    Measurement logged;
    logged.name = logged_name(sheet.test, m);
    logged.value = m.figure.value;
    if (m.known == Known::value) logged.uncertainty_95 = m.figure.uncertainty_95;
    if (const auto limit = sheet.limits.of(sheet.test, m.name)) {
        logged.limit = limit_to_log(*limit, m.figure.value);
        logged.pass = judge(m, *limit).pass;
    }
    return logged;
}

}  // namespace

Entry bench_entry(Entry facts, const bench::Sheet& sheet, bool kept) {
    facts.kind = kBench;
    facts.seconds = sheet.seconds;
    bool judged = false;
    for (const bench::Measurement& m : sheet.report.measurements) {
        facts.measurements.push_back(to_log(sheet, m));
        judged = judged || std::isfinite(facts.measurements.back().limit);
    }
    facts.outcome = !kept ? "fail" : judged ? "pass" : "done";
    // The test stands in the names; a sheet without any figure still names it.
    if (facts.measurements.empty())
        facts.measurements.push_back({.name = sheet.test + ".figures", .value = 0.0});
    return facts;
}

std::vector<bench::Measurement> bench_measurements(const Entry& entry) {
    std::vector<bench::Measurement> measurements;
    for (const Measurement& m : entry.measurements) measurements.push_back(measurement_of(m));
    return measurements;
}

std::string bench_test_of(const Entry& entry) {
    if (entry.kind != kBench || entry.measurements.empty()) return "";
    const std::string& name = entry.measurements.front().name;
    const std::size_t dot = name.find('.');
    return dot == std::string::npos ? "" : name.substr(0, dot);
}

Result<BenchChanges> compare_bench(const Entry& before, const Entry& after) {
    for (const Entry* entry : {&before, &after}) {
        if (!bench_test_of(*entry).empty()) continue;
        return Error{ErrorCode::invalid_value,
                     fmt::format("entry {} is no sheet of the bench but of the kind {}", entry->id,
                                 entry->kind)};
    }
    BenchChanges result{bench_test_of(before), before, after, {}};
    if (bench_test_of(after) != result.test) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("entry {} is of the test {}, entry {} of {}", before.id,
                                 result.test, after.id, bench_test_of(after))};
    }
    result.changes = bench::changes(bench_measurements(before), bench_measurements(after));
    return result;
}

const char* verdict_of(const bench::Change& change) {
    if (!change.before || !change.after) return "only in one";
    if (!change.changed) return "cannot be told";
    return *change.changed ? "CHANGED" : "not changed";
}

std::string side_text(const std::optional<bench::Measurement>& m) {
    if (!m) return "not there";
    if (!std::isfinite(m->figure.value) || !std::isfinite(m->figure.uncertainty_95)) return "n/a";
    return bench::figure_text(*m);
}

}  // namespace skedlark::log
