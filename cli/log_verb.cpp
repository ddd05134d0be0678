// skedlark log: past watches, practice and bench sheets; two stretches of a watch compared, or two sheets.
#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <filesystem>
#include <memory>

#include "cli/bench_log.h"
#include "cli/log_view.h"
#include "cli/new_file.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/stretches.h"
#include "cli/trend_view.h"
#include "cli/watch_log.h"
#include "dsp/watch/watch.h"

namespace skedlark::cli {

namespace {

// Practice that was sent and graded; what was copied has no trend of a hand.
constexpr const char* kSending = "fist";

constexpr const char* kExample =
    "Examples:\n"
    "  skedlark log --since 2026-11-01 --contact evening\n"
    "  skedlark log --id 12                             all that is known of one watch\n"
    "  skedlark log --id 12 --reason 'transmitter fuse' written into it\n"
    "  skedlark log --missed evening --reason 'snowed in'\n"
    "  skedlark log --compare hut.flac --pitch 700 --first 0:10-1:40 --second 2:00-3:30\n"
    "  skedlark log --kind bench\n"
    "  skedlark log --kind fist --who Ann               her sending, week by week\n"
    "  skedlark log --changed 20,27                     a bench test before and after a repair\n"
    "Watches of skedlark copy and find are logged with --live, others with --log. Times are UTC.\n"
    "Exit status: 0 done; 1 nothing was found; 2 the log or input cannot be used; 3 disk full.";

struct LogVerbOptions {
    std::string file;
    std::string kind;
    std::string since;
    std::string until;
    std::string who;
    std::string contact;
    double last = 0;
    std::optional<double> id;
    std::string reason;
    std::string note;
    std::string missed;
    std::string export_folder;
    std::string changed;
    bool json = false;
    bool compare = false;
    std::string compare_file;
    double pitch_hz = 0.0;
    std::string first;
    std::string second;
};

class LogVerb {
 public:
    explicit LogVerb(const LogVerbOptions& options) : options_(options) {}

    ExitStatus run() {
        const auto done = work();
        if (!out_.flush()) {
            print_error("log", out_.failure()->message);
            return out_.failure()->status;
        }
        if (done) return *done;
        print_error("log", done.error().message);
        return exit_status(done.error().code);
    }

 private:
    Result<ExitStatus> work() {
        if (options_.compare) return compare();
        if (!options_.changed.empty()) return compare_sheets();
        if (!options_.missed.empty()) return add_missed();
        const auto query = make_query();
        if (!query) return query.error();
        if (!options_.reason.empty() || !options_.note.empty()) return amend(*query);
        const auto book = open(log::Access::read);
        if (!book) return book.error();
        auto entries = book->find(*query);
        if (!entries) return entries.error();
        if (options_.kind == kSending) {
            std::erase_if(*entries, [](const log::Entry& one) { return !log::is_sending(one); });
            const auto last = static_cast<std::size_t>(options_.last);
            if (last > 0 && entries->size() > last) {
                entries->erase(entries->begin(),
                               entries->end() - static_cast<std::ptrdiff_t>(last));
            }
        }
        if (!options_.export_folder.empty()) return write_export(*entries);
        return show(*entries);
    }

    [[nodiscard]] Result<log::LogBook> open(log::Access access) const {
        const auto path = access == log::Access::write ? log_path_for_writing(options_.file)
                          : options_.file.empty()      ? default_log_path()
                                                       : Result<std::string>(options_.file);
        if (!path) return path.error();
        return log::LogBook::open(*path, access);
    }

    [[nodiscard]] Result<log::Query> make_query() const {
        log::Query query;
        if (options_.id) query.id = static_cast<std::int64_t>(*options_.id);
        query.kind = options_.kind == kSending ? log::kPractice : options_.kind;
        query.who = options_.who;
        query.contact = options_.contact;
        if (options_.kind != kSending) query.last = static_cast<std::size_t>(options_.last);
        if (!options_.since.empty()) {
            const auto since = parse_utc(options_.since);
            if (!since) return Error{since.error().code, "--since: " + since.error().message};
            query.since = *since;
        }
        if (!options_.until.empty()) {
            const auto until = parse_utc(options_.until);
            if (!until) return Error{until.error().code, "--until: " + until.error().message};
            query.before = *until;
        }
        return query;
    }

    Result<ExitStatus> show(const std::vector<log::Entry>& entries) {
        if (entries.empty()) {
            print_error("log", "no entry is as asked for");
            return kAnswerNo;
        }
        if (options_.json) {
            for (const log::Entry& entry : entries) out_.write(json_line(entry));
        } else {
            out_.write(options_.id ? entry_text(entries.front()) : entry_table(entries));
        }
        if (options_.kind == kSending && !options_.who.empty()) {
            const auto weeks = log::sending_trend(entries);
            out_.write(options_.json ? trend_json(weeks) : trend_text(weeks, options_.who));
        }
        return kDone;
    }

    Result<ExitStatus> write_export(const std::vector<log::Entry>& entries) {
        std::error_code failed;
        std::filesystem::create_directories(options_.export_folder, failed);
        if (failed) {
            return Error{
                ErrorCode::write_failed,
                fmt::format("{}: cannot be made: {}", options_.export_folder, failed.message())};
        }
        std::string lines;
        for (const log::Entry& entry : entries) lines += json_line(entry);
        const std::string stem = options_.export_folder + "/skedlark-log";
        const std::pair<std::string, std::string> files[] = {{stem + ".jsonl", lines},
                                                             {stem + ".csv", csv_of(entries)}};
        for (const auto& [path, content] : files) {
            if (const Status status = write_whole_file(path, content); !status) {
                return status.error();
            }
        }
        print_error("log",
                    fmt::format("{} entries written to {}.jsonl and .csv", entries.size(), stem));
        return entries.empty() ? kAnswerNo : kDone;
    }

    // The one entry of --id.
    static Result<log::Entry> only(const log::LogBook& book, const log::Query& query) {
        const auto found = book.find(query);
        if (!found) return found.error();
        if (found->empty()) {
            return Error{ErrorCode::not_found,
                         fmt::format("--id: there is no entry {}", query.id.value_or(0))};
        }
        return found->front();
    }

    Result<ExitStatus> amend(const log::Query& query) {
        auto book = open(log::Access::write);
        if (!book) return book.error();
        auto entry = only(*book, query);
        if (!entry) return entry.error();
        if (!options_.reason.empty()) entry->reason = options_.reason;
        if (!options_.note.empty()) entry->note = options_.note;
        if (const Status status = book->replace(*entry); !status) return status.error();
        return show({*entry});
    }

    Result<ExitStatus> add_missed() {
        log::Entry entry;
        entry.started =
            std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
        if (!options_.since.empty()) {
            const auto when = parse_utc(options_.since);
            if (!when) return Error{when.error().code, "--since: " + when.error().message};
            entry.started = *when;
        }
        entry.contact = options_.missed;
        entry.outcome = log::kMissed;
        entry.reason = options_.reason;
        entry.note = options_.note;
        entry.who = options_.who;
        auto book = open(log::Access::write);
        if (!book) return book.error();
        const auto id = book->add(entry);
        if (!id) return id.error();
        entry.id = *id;
        return show({entry});
    }

    Result<ExitStatus> compare() {
        if (options_.first.empty() || options_.second.empty()) {
            return Error{ErrorCode::invalid_value,
                         "--compare needs --first FROM-TO and --second FROM-TO"};
        }
        const auto first = parse_stretch("--first", options_.first);
        if (!first) return first.error();
        const auto second = parse_stretch("--second", options_.second);
        if (!second) return second.error();
        std::string file = options_.compare_file;
        double pitch_hz = options_.pitch_hz;
        if (const Status status = from_entry(file, pitch_hz); !status) return status.error();
        const auto result = compare_stretches(file, pitch_hz, *first, *second);
        if (!result) return result.error();
        out_.write(options_.json ? json_line(*result) : comparison_text(*result));
        return kDone;
    }

    // "20,27"
    [[nodiscard]] static Result<std::pair<std::int64_t, std::int64_t>> two_ids(
        const std::string& text) {
        const auto whole = [](std::string_view part) {
            std::int64_t id = 0;
            const auto [end, failed] = std::from_chars(part.data(), part.data() + part.size(), id);
            return failed == std::errc() && end == part.data() + part.size() ? id : 0;
        };
        const std::string_view all = text;
        const std::size_t comma = std::min(all.find(','), all.size());
        const std::int64_t before = whole(all.substr(0, comma));
        const std::int64_t after = whole(all.substr(std::min(comma + 1, all.size())));
        if (before > 0 && after > 0 && before != after) return std::pair(before, after);
        return Error{ErrorCode::invalid_value,
                     "--changed '" + text + "': must be two different entries, such as 20,27"};
    }

    Result<ExitStatus> compare_sheets() {
        const auto ids = two_ids(options_.changed);
        if (!ids) return ids.error();
        const auto book = open(log::Access::read);
        if (!book) return book.error();
        std::vector<log::Entry> sheets;
        for (const std::int64_t id : {ids->first, ids->second}) {
            auto found = book->find({.id = id});
            if (!found) return found.error();
            if (found->empty()) {
                return Error{ErrorCode::not_found,
                             fmt::format("--changed: there is no entry {}", id)};
            }
            sheets.push_back(std::move(found->front()));
        }
        const auto changes = log::compare_bench(sheets[0], sheets[1]);
        if (!changes) return Error{changes.error().code, "--changed: " + changes.error().message};
        out_.write(options_.json ? changes_json(*changes) : changes_text(*changes));
        return kDone;
    }

    // What is not told is taken from the entry of --id: its recording, the pitch of what was heard.
    Status from_entry(std::string& file, double& pitch_hz) {
        if (options_.id && (file.empty() || pitch_hz <= 0.0)) {
            const auto book = open(log::Access::read);
            if (!book) return book.error();
            const auto query = make_query();
            if (!query) return query.error();
            const auto entry = only(*book, *query);
            if (!entry) return entry.error();
            if (file.empty()) {
                file = entry->recording.empty() ? entry->input : entry->recording;
                file = file.substr(0, file.find('\n'));
            }
            if (pitch_hz <= 0.0 && !entry->stations.empty()) {
                pitch_hz = entry->stations.front().pitch_hz;
            }
        }
        if (file.empty()) {
            return Error{ErrorCode::invalid_value,
                         "--compare needs a sound file, or --id of a watch that was recorded"};
        }
        if (!(pitch_hz > 0.0)) {
            return Error{ErrorCode::invalid_value, "--compare needs --pitch HZ of the station"};
        }
        return Done{};
    }

    const LogVerbOptions& options_;
    Output out_{1};
};

void add_selection(CLI::App& verb, LogVerbOptions& options) {
    verb.add_option("--kind", options.kind,
                    "Only entries of this kind; fist: practice that was sent, with --who its trend")
        ->type_name("watch|practice|bench|fist")
        ->check(one_of({log::kWatch, log::kPractice, log::kBench, kSending}));
    verb.add_option("--since", options.since, "Only from this time on, such as 2026-11-01")
        ->type_name("TIME");
    verb.add_option("--until", options.until, "Only before this time")->type_name("TIME");
    verb.add_option("--who", options.who, "Only of this person")->type_name("NAME");
    verb.add_option("--contact", options.contact, "Only of this contact of the plan")
        ->type_name("NAME");
    verb.add_option("--last", options.last, "Only the latest so many")
        ->type_name("N")
        ->check(number_within({1.0, 1.0e9, "entries"}, true));
    add_log_file_option(verb, options.file);
}

void add_changes(CLI::App& verb, LogVerbOptions& options, CLI::Option* id) {
    CLI::Option* missed = verb.add_option("--missed", options.missed,
                                          "Enter a contact nobody listened for, now or at --since")
                              ->type_name("CONTACT")
                              ->excludes(id);
    verb.add_option("--reason", options.reason, "With --id or --missed: why it was missed")
        ->type_name("TEXT");
    verb.add_option("--note", options.note, "With --id or --missed: anything else worth keeping")
        ->type_name("TEXT");
    verb.add_option("--export", options.export_folder,
                    "Write skedlark-log.jsonl and skedlark-log.csv into this folder")
        ->type_name("DIR")
        ->excludes(missed);
}

void add_comparison(CLI::App& verb, LogVerbOptions& options) {
    CLI::Option* compare =
        verb.add_option("--compare", options.compare_file,
                        "Compare two stretches of a sound file (or of the recording of --id): has "
                        "a change of aerial or earth helped?")
            ->type_name("[FILE]")
            ->expected(0, 1);
    verb.parse_complete_callback([&options, compare] { options.compare = compare->count() > 0; });
    verb.add_option("--pitch", options.pitch_hz, "Pitch of the station, for --compare")
        ->type_name("HZ")
        ->check(number_within({watch::kMinPitchHz, watch::kMaxPitchHz, "Hz"}))
        ->needs(compare);
    verb.add_option("--first", options.first, "Stretch before the change, such as 0:10-1:40")
        ->type_name("FROM-TO")
        ->needs(compare);
    verb.add_option("--second", options.second, "Stretch after it")
        ->type_name("FROM-TO")
        ->needs(compare);
}

void add_sheet_comparison(CLI::App& verb, LogVerbOptions& options) {
    CLI::Option* changed =
        verb.add_option("--changed", options.changed,
                        "Two entries of the same bench test, before and after a repair: which "
                        "figures have changed by more than their uncertainty")
            ->type_name("ID,ID");
    for (const char* other : {"--id", "--kind", "--since", "--until", "--who", "--contact",
                              "--last", "--missed", "--export", "--compare"}) {
        changed->excludes(verb.get_option(other));
    }
}

// A reason or a note belongs to one entry.
Status check_together(const LogVerbOptions& options) {
    const bool amends = !options.reason.empty() || !options.note.empty();
    if (amends && !options.id && options.missed.empty()) {
        return Error{ErrorCode::invalid_value, "--reason and --note need --id or --missed"};
    }
    return Done{};
}

}  // namespace

void add_log(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<LogVerbOptions>();
    CLI::App* verb = program.add_subcommand(
        "log", "Past watches, practice and bench sheets; two stretches of a watch compared");
    add_selection(*verb, *options);
    CLI::Option* id = verb->add_option("--id", options->id, "One entry, in full")
                          ->type_name("N")
                          ->check(number_within({1.0, 1.0e15, ""}, true));
    add_changes(*verb, *options, id);
    add_comparison(*verb, *options);
    add_sheet_comparison(*verb, *options);
    verb->add_flag("--json", options->json, "JSON Lines");
    verb->footer(kExample);
    verb->callback([options, &chosen] {
        chosen = [options]() -> ExitStatus {
            if (const Status status = check_together(*options); !status) {
                print_error("log", status.error().message);
                return exit_status(status.error().code);
            }
            return LogVerb(*options).run();
        };
    });
}

}  // namespace skedlark::cli
