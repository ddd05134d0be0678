#include "cli/watch_log.h"

#include <filesystem>

#include "cli/output.h"

namespace skedlark::cli {

namespace {

constexpr std::chrono::seconds kRenewEvery{60};

}  // namespace

CLI::Option* add_log_file_option(CLI::App& verb, std::string& file) {
    return verb
        .add_option("--log-file", file, "The log; default: skedlark/log.db in XDG_DATA_HOME")
        ->type_name("FILE");
}

void add_log_options(CLI::App& verb, LogOptions& options) {
    CLI::Option* wanted = verb.add_flag(
        "--log", options.wanted, "Write this watch into the log; with --live that is done anyway");
    verb.add_flag("--no-log", options.refused, "Don't write a live watch into the log")
        ->excludes(wanted);
    add_log_file_option(verb, options.file);
    verb.add_option("--contact", options.contact, "Name of the contact in the plan, for the log")
        ->type_name("NAME");
    verb.add_option("--receiver", options.receiver, "Name of the receiver, for the log")
        ->type_name("NAME");
    verb.add_option("--who", options.who, "Who keeps the watch, for the log")->type_name("NAME");
}

std::string recorded_files(const audio::Recorder* recorder) {
    std::string files;
    if (recorder == nullptr) return files;
    for (const std::string& file : recorder->files()) {
        files += (files.empty() ? "" : "\n") + whole_path(file);
    }
    return files;
}

std::optional<WatchLog> WatchLog::open(const LogOptions& options, const std::string& verb,
                                       const InputOptions& from, const InputLine& input,
                                       const std::string& record_folder) {
    if (!options.wanted && (!from.live || options.refused)) return std::nullopt;
    log::Entry facts;
    facts.started = input.utc.value_or(
        std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now()));
    facts.who = options.who;
    facts.contact = options.contact;
    facts.receiver = options.receiver;
    std::error_code ignored;
    const bool is_file = !from.live && std::filesystem::exists(input.name, ignored);
    facts.input = is_file ? whole_path(input.name) : input.name;
    facts.recording = whole_path(record_folder);
    return std::optional<WatchLog>(std::in_place, options, verb, std::move(facts));
}

WatchLog::WatchLog(const LogOptions& options, std::string verb, log::Entry facts)
    : verb_(std::move(verb)), recording_(facts.recording), entry_(std::move(facts)) {
    if (const Status opened = open_book(options.file); !opened) give_up(opened.error());
}

Status WatchLog::open_book(const std::string& file) {
    const auto path = log_path_for_writing(file);
    if (!path) return path.error();
    auto book = log::LogBook::open(*path, log::Access::write);
    if (!book) return book.error();
    book_.emplace(std::move(*book));
    const auto id = book_->add(entry_.entry());
    if (!id) return id.error();
    entry_.set_id(*id);
    written_ = Clock::now();
    return Done{};
}

void WatchLog::give_up(const Error& error) {
    book_.reset();
    print_error(verb_, "the watch goes on, but is not logged: " + error.message);
}

void WatchLog::add(const std::vector<Event>& events) { entry_.add(events); }

void WatchLog::reach(double seconds) {
    entry_.reach(seconds);
    if (Clock::now() - written_ >= kRenewEvery) write();
}

void WatchLog::end(const std::string& cut_short, const std::string& recording) {
    if (!recording.empty()) recording_ = recording;
    entry_.end(cut_short);
    write();
}

void WatchLog::write() {
    written_ = Clock::now();
    if (!book_) return;
    log::Entry entry = entry_.entry();
    entry.recording = recording_;
    if (const Status status = book_->replace(entry); !status) give_up(status.error());
}

}  // namespace skedlark::cli
