#include "cli/bench_log.h"

#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/bench_view.h"
#include "cli/output.h"
#include "cli/terminal.h"
#include "cli/watch_log.h"

namespace skedlark::cli {

namespace {

using bench::Known;
using Json = nlohmann::ordered_json;

log::Entry facts_of(const BenchLogOptions& options, const bench::Sheet& sheet, bool live) {
    log::Entry facts;
    facts.started = std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
    if (live) facts.started -= std::chrono::milliseconds(std::llround(1000.0 * sheet.seconds));
    facts.who = options.who;
    facts.receiver = options.receiver;
    std::error_code ignored;
    facts.input = !live && std::filesystem::exists(sheet.input, ignored) ? whole_path(sheet.input)
                                                                         : sheet.input;
    return facts;
}

std::string sheet_name(const log::Entry& entry) {
    const std::string time = utc_text(entry.started);
    return fmt::format("{} ({} {} UTC{}{})", entry.id, time.substr(0, 10), time.substr(11, 5),
                       entry.receiver.empty() ? "" : ", ", entry.receiver);
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

void log_bench(const BenchLogOptions& options, const bench::Sheet& result, bool kept, bool live) {
    if (!options.wanted) return;
    const auto path = log_path_for_writing(options.file);
    auto book =
        path ? log::LogBook::open(*path, log::Access::write) : Result<log::LogBook>(path.error());
    const auto id = book
                        ? book->add(log::bench_entry(facts_of(options, result, live), result, kept))
                        : Result<std::int64_t>(book.error());
    if (!id) {
        print_error("bench " + result.test, "measured, but not logged: " + id.error().message);
        return;
    }
    print_error("bench " + result.test, fmt::format("entry {} of the log", *id));
}

std::string changes_text(const log::BenchChanges& changes) {
    const auto width = static_cast<std::size_t>(kPlainWidth);
    std::string text =
        wrapped_text(fmt::format("{}: before {}, after {}; +- is 95 %", changes.test,
                                 sheet_name(changes.before), sheet_name(changes.after)),
                     width, 2);
    for (const bench::Change& change : changes.changes) {
        const bench::Measurement& m = change.either();
        const std::string name = m.at.empty() ? m.name : m.name + " (" + m.at + ")";
        text += fmt::format("  {:<60} {}\n", name, log::verdict_of(change));
        std::string figures = fmt::format("    {} -> {}", log::side_text(change.before),
                                          log::side_text(change.after));
        if (change.difference) {
            const std::string by = "by " + bench::difference_text(m.name, *change.difference);
            figures += figures.size() + 2 + by.size() > width ? ",\n      " + by : ", " + by;
        }
        text += figures + "\n";
    }
    if (changes.before.receiver != changes.after.receiver)
        text += "- The two are not of the same receiver, by their names.\n";
    return text;
}

std::string changes_json(const log::BenchChanges& changes) {
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
