#include "cli/bench_log.h"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string_view>

#include "cli/output.h"
#include "cli/terminal.h"
#include "cli/watch_log.h"

namespace skedlark::cli {

namespace {

using bench::Known;
using Json = nlohmann::ordered_json;

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

bench::Measurement measurement_of(const log::Measurement& logged) {
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
    if (!limit.min) return limit.max.value_or(log::kNotMeasured);
    if (!limit.max) return *limit.min;
    return std::abs(value - *limit.min) < std::abs(value - *limit.max) ? *limit.min : *limit.max;
}

log::Measurement to_log(const BenchResult& result, const bench::Measurement& m) {
    log::Measurement logged;
    logged.name = logged_name(result.test, m);
    logged.value = m.figure.value;
    if (m.known == Known::value) logged.uncertainty_95 = m.figure.uncertainty_95;
    if (const auto limit = result.limits.of(result.test, m.name)) {
        logged.limit = limit_to_log(*limit, m.figure.value);
        logged.pass = judge(m, *limit).pass;
    }
    return logged;
}

log::Entry entry_of(const BenchLogOptions& options, const BenchResult& result, bool kept,
                    bool live) {
    log::Entry entry;
    entry.kind = log::kBench;
    entry.started = std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
    if (live) entry.started -= std::chrono::milliseconds(std::llround(1000.0 * result.seconds));
    entry.seconds = result.seconds;
    entry.who = options.who;
    entry.receiver = options.receiver;
    std::error_code ignored;
    entry.input = !live && std::filesystem::exists(result.input, ignored) ? whole_path(result.input)
                                                                          : result.input;
    bool judged = false;
    for (const bench::Measurement& m : result.report.measurements) {
        entry.measurements.push_back(to_log(result, m));
        judged = judged || std::isfinite(entry.measurements.back().limit);
    }
    entry.outcome = !kept ? "fail" : judged ? "pass" : "done";
    // The test stands in the names; a sheet without any figure still names it.
    if (entry.measurements.empty())
        entry.measurements.push_back({.name = result.test + ".figures", .value = 0.0});
    return entry;
}

std::string sheet_name(const log::Entry& entry) {
    const std::string time = utc_text(entry.started);
    return fmt::format("{} ({} {} UTC{}{})", entry.id, time.substr(0, 10), time.substr(11, 5),
                       entry.receiver.empty() ? "" : ", ", entry.receiver);
}

std::string side_text(const std::optional<bench::Measurement>& m) {
    if (!m) return "not there";
    if (!std::isfinite(m->figure.value) || !std::isfinite(m->figure.uncertainty_95)) return "n/a";
    return figure_text(*m);
}

const char* verdict_of(const bench::Change& change) {
    if (!change.before || !change.after) return "only in one";
    if (!change.changed) return "cannot be told";
    return *change.changed ? "CHANGED" : "not changed";
}

Json number_or_null(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

Json side_json(const std::optional<bench::Measurement>& m) {
    if (!m) return nullptr;
    const bool bound = m->known != Known::value;
    return {{"value", number_or_null(m->figure.value)},
            {"uncertainty_95", bound ? Json(nullptr) : number_or_null(m->figure.uncertainty_95)},
            {"known", m->known == Known::value     ? "value"
                      : m->known == Known::at_most ? "at_most"
                                                   : "at_least"}};
}

}  // namespace

void add_bench_log_options(CLI::App& verb, BenchLogOptions& options) {
    CLI::Option* wanted =
        verb.add_flag("--log", options.wanted, "Keep the result in the log (skedlark log)");
    add_log_file_option(verb, options.file)->needs(wanted);
    verb.add_option("--receiver", options.receiver, "Name of the set, for the log")
        ->type_name("NAME")
        ->needs(wanted);
    verb.add_option("--who", options.who, "Who measures, for the log")
        ->type_name("NAME")
        ->needs(wanted);
}

void log_bench(const BenchLogOptions& options, const BenchResult& result, bool kept, bool live) {
    if (!options.wanted) return;
    const auto path = log_path_for_writing(options.file);
    auto book =
        path ? log::LogBook::open(*path, log::Access::write) : Result<log::LogBook>(path.error());
    const auto id = book ? book->add(entry_of(options, result, kept, live))
                         : Result<std::int64_t>(book.error());
    if (!id) {
        print_error("bench " + result.test, "measured, but not logged: " + id.error().message);
        return;
    }
    print_error("bench " + result.test, fmt::format("entry {} of the log", *id));
}

std::string bench_test_of(const log::Entry& entry) {
    if (entry.kind != log::kBench || entry.measurements.empty()) return "";
    const std::string& name = entry.measurements.front().name;
    const std::size_t dot = name.find('.');
    return dot == std::string::npos ? "" : name.substr(0, dot);
}

Result<BenchChanges> compare_bench(const log::Entry& before, const log::Entry& after) {
    for (const log::Entry* entry : {&before, &after}) {
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
    std::vector<bench::Measurement> sides[2];
    for (const log::Measurement& m : before.measurements) sides[0].push_back(measurement_of(m));
    for (const log::Measurement& m : after.measurements) sides[1].push_back(measurement_of(m));
    result.changes = bench::changes(sides[0], sides[1]);
    return result;
}

std::string changes_text(const BenchChanges& changes) {
    const auto width = static_cast<std::size_t>(kPlainWidth);
    std::string text =
        wrapped_text(fmt::format("{}: before {}, after {}; +- is 95 %", changes.test,
                                 sheet_name(changes.before), sheet_name(changes.after)),
                     width, 2);
    for (const bench::Change& change : changes.changes) {
        const bench::Measurement& m = change.either();
        const std::string name = m.at.empty() ? m.name : m.name + " (" + m.at + ")";
        text += fmt::format("  {:<60} {}\n", name, verdict_of(change));
        std::string figures =
            fmt::format("    {} -> {}", side_text(change.before), side_text(change.after));
        if (change.difference) {
            const std::string by = "by " + difference_text(m.name, *change.difference);
            figures += figures.size() + 2 + by.size() > width ? ",\n      " + by : ", " + by;
        }
        text += figures + "\n";
    }
    if (changes.before.receiver != changes.after.receiver)
        text += "- The two are not of the same receiver, by their names.\n";
    return text;
}

std::string changes_json(const BenchChanges& changes) {
    std::string text;
    for (const bench::Change& change : changes.changes) {
        const bench::Measurement& m = change.either();
        Json line{{"event", "change"}, {"test", changes.test}, {"name", m.name}};
        if (!m.at.empty()) line["at"] = m.at;
        line["before_id"] = changes.before.id;
        line["after_id"] = changes.after.id;
        line["before"] = side_json(change.before);
        line["after"] = side_json(change.after);
        line["difference"] = change.difference ? Json(change.difference->value) : Json(nullptr);
        line["difference_95"] =
            change.difference ? Json(change.difference->uncertainty_95) : Json(nullptr);
        line["changed"] = change.changed ? Json(*change.changed) : Json(nullptr);
        text += line.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
    }
    return text;
}

}  // namespace skedlark::cli
