// skedlark sheet: a printable sheet of results, drawn by skedlark-sheet, which has the plots.
#include "cli/sheet_verb.h"

#include <fmt/format.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <memory>

#include "cli/log_view.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/watch_log.h"
#include "dsp/log/log_book.h"
#include "dsp/log/log_path.h"

namespace skedlark::cli {

namespace {

constexpr const char* kProgram = "skedlark-sheet";

constexpr const char* kExample =
    "Examples:\n"
    "  skedlark fist --json --text-file exercise.txt practice.wav > practice.json\n"
    "  skedlark sheet practice.json --out practice.pdf\n"
    "  skedlark copy --json evening.flac | skedlark sheet - --out evening.html\n"
    "  skedlark sheet tone.json hum.json --before old.json --receiver 'Hut set' --out set.pdf\n"
    "  skedlark sheet --log --who Ann --since 2026-11-23 --out ann.pdf\n"
    "  skedlark sheet --log --kind bench --receiver 'Hut set' --out history.html\n"
    "RESULT is what skedlark fist, bench, copy, sweep or drill prints with --json. Several files\n"
    "of one kind make one sheet; --before holds what bench measured before a repair. --log takes\n"
    "a person's practice or a receiver's bench from the log instead. HTML is one file with its "
    "plots in it, PDF has the same plots.\n"
    "Exit status: 0 done; 1 the log holds nothing of the kind; 2 a result or file cannot be used; "
    "3 the disk is full.";

struct SheetOptions {
    std::vector<std::string> results;
    std::string out;
    std::string title;
    std::vector<std::string> notes;
    std::string paper = "a4";
    std::vector<std::string> before;
    std::string receiver;
    std::string supply;
    bool force = false;
    bool from_log = false;
    std::string log_file;
    std::string kind = log::kPractice;
    std::string who;
    std::string since;
    std::string until;
};

// Beside this program, or where helpers of programs are installed.
Result<std::string> drawing_program() {
    namespace fs = std::filesystem;
    std::error_code failed;
    const fs::path self = fs::read_symlink("/proc/self/exe", failed).parent_path();
    const fs::path places[] = {self / kProgram,
                               self.parent_path() / "libexec" / "skedlark" / kProgram};
    for (const fs::path& place : places) {
        if (::access(place.c_str(), X_OK) == 0) return place.string();
    }
    return Error{
        ErrorCode::not_found,
        fmt::format("{} draws sheets and is not there, neither as {} nor as {}; it is built "
                    "and installed with the desk",
                    kProgram, places[0].string(), places[1].string())};
}

std::vector<std::string> arguments_of(const SheetOptions& options) {
    std::vector<std::string> arguments{kProgram, "--out", options.out, "--paper", options.paper};
    const auto add = [&](const char* name, const std::string& value) {
        arguments.insert(arguments.end(), {name, value});
    };
    if (!options.title.empty()) add("--title", options.title);
    for (const std::string& note : options.notes) add("--note", note);
    for (const std::string& file : options.before) add("--before", file);
    if (!options.supply.empty()) add("--supply", options.supply);
    if (!options.receiver.empty() && !options.from_log) add("--receiver", options.receiver);
    if (options.force) arguments.emplace_back("--force");
    arguments.emplace_back("--");
    arguments.insert(arguments.end(), options.results.begin(), options.results.end());
    if (options.from_log) arguments.emplace_back("-");
    return arguments;
}

// Entries as `skedlark log --json` prints them.
Result<std::string> lines_of_log(const SheetOptions& options) {
    log::Query query;
    query.kind = options.kind;
    query.who = options.who;
    const std::pair<const char*, const std::string*> times[] = {{"--since", &options.since},
                                                                {"--until", &options.until}};
    for (const auto& [name, text] : times) {
        if (text->empty()) continue;
        const auto time = parse_utc(*text);
        if (!time) return Error{time.error().code, std::string(name) + ": " + time.error().message};
        (name == times[0].first ? query.since : query.before) = *time;
    }
    const auto path =
        options.log_file.empty() ? log::default_log_path() : Result<std::string>(options.log_file);
    if (!path) return path.error();
    const auto book = log::LogBook::open(*path, log::Access::read);
    if (!book) return book.error();
    const auto entries = book->find(query);
    if (!entries) return entries.error();
    std::string lines;
    for (const log::Entry& entry : *entries) {
        if (options.receiver.empty() || entry.receiver == options.receiver)
            lines += json_line(entry);
    }
    return lines;
}

// A file without a name, to be read from its beginning; below 0 where there is no memory for it.
int file_with(const std::string& content) {
    const int file = ::memfd_create("skedlark-sheet", MFD_CLOEXEC);
    std::string_view rest = content;
    while (file >= 0 && !rest.empty()) {
        const ssize_t written = ::write(file, rest.data(), rest.size());
        if (written > 0) {
            rest.remove_prefix(static_cast<std::size_t>(written));
        } else if (errno != EINTR) {
            ::close(file);
            return -1;
        }
    }
    if (file >= 0) ::lseek(file, 0, SEEK_SET);
    return file;
}

// To its end; what it says goes where this program's words go. input: its standard input, unless below 0.
Result<ExitStatus> run_program(const std::string& path, const std::vector<std::string>& arguments,
                               int input) {
    std::vector<char*> words;
    for (const std::string& word : arguments) words.push_back(const_cast<char*>(word.c_str()));
    words.push_back(nullptr);
    pid_t child = -1;
    posix_spawn_file_actions_t actions;
    ::posix_spawn_file_actions_init(&actions);
    if (input >= 0) ::posix_spawn_file_actions_adddup2(&actions, input, 0);
    const int refused =
        ::posix_spawn(&child, path.c_str(), &actions, nullptr, words.data(), environ);
    ::posix_spawn_file_actions_destroy(&actions);
    if (refused != 0) {
        return Error{ErrorCode::unreadable,
                     fmt::format("{} cannot be started: {}", path, std::strerror(refused))};
    }
    int status = 0;
    while (::waitpid(child, &status, 0) < 0) {
        if (errno != EINTR)
            return Error{ErrorCode::unreadable, fmt::format("{} was lost sight of", path)};
    }
    if (WIFEXITED(status) && WEXITSTATUS(status) <= kCutShort)
        return static_cast<ExitStatus>(WEXITSTATUS(status));
    return Error{ErrorCode::unreadable,
                 fmt::format("{} ended before its time ({})", path,
                             WIFSIGNALED(status) ? ::strsignal(WTERMSIG(status)) : "status")};
}

Result<ExitStatus> run_of_log(const SheetOptions& options, const std::string& program) {
    const auto lines = lines_of_log(options);
    if (!lines) return lines.error();
    if (lines->empty()) {
        print_error("sheet", "no entry of the log is as asked for");
        return kAnswerNo;
    }
    const int input = file_with(*lines);
    if (input < 0) return Error{ErrorCode::write_failed, "no memory for the entries of the log"};
    auto ended = run_program(program, arguments_of(options), input);
    ::close(input);
    return ended;
}

Status check(const SheetOptions& options) {
    if (options.from_log && !options.results.empty()) {
        return Error{ErrorCode::invalid_value,
                     "RESULT '" + options.results.front() + "' and --log cannot be used together"};
    }
    if (!options.from_log && options.results.empty())
        return Error{ErrorCode::invalid_value, "RESULT is missing: JSON Lines, -, or --log"};
    if (options.from_log && (!options.before.empty() || !options.supply.empty())) {
        return Error{ErrorCode::invalid_value,
                     "--before and --supply are for results of bench, not for --log"};
    }
    return Done{};
}

ExitStatus run_sheet(const SheetOptions& options) {
    const auto fail = [](const Error& error) {
        print_error("sheet", error.message);
        return exit_status(error.code);
    };
    if (const Status right = check(options); !right) return fail(right.error());
    const auto program = drawing_program();
    if (!program) return fail(program.error());
    const auto ended = options.from_log ? run_of_log(options, *program)
                                        : run_program(*program, arguments_of(options), -1);
    return ended ? *ended : fail(ended.error());
}

void add_log_part(CLI::App& verb, SheetOptions& options) {
    CLI::Option* from_log =
        verb.add_flag("--log", options.from_log, "Of the log, not of results in files");
    verb.add_option("--kind", options.kind, "With --log: a person's practice, a receiver's bench")
        ->type_name("practice|bench")
        ->capture_default_str()
        ->check(one_of({log::kPractice, log::kBench}))
        ->needs(from_log);
    verb.add_option("--who", options.who, "With --log: only of this person")
        ->type_name("NAME")
        ->needs(from_log);
    verb.add_option("--since", options.since, "With --log: from this time on, such as 2026-11-01")
        ->type_name("TIME")
        ->needs(from_log);
    verb.add_option("--until", options.until, "With --log: before this time")
        ->type_name("TIME")
        ->needs(from_log);
    add_log_file_option(verb, options.log_file)->needs(from_log);
}

}  // namespace

void add_sheet(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<SheetOptions>();
    CLI::App* verb =
        program.add_subcommand("sheet", "A printable sheet of results with their plots");
    verb->add_option("RESULT", options->results, "JSON Lines of skedlark; - is standard input")
        ->type_name("");
    verb->add_option("--out", options->out, "The sheet, .html or .pdf")
        ->type_name("FILE")
        ->required();
    verb->add_option("--title", options->title, "What stands at its head")->type_name("TEXT");
    verb->add_option("--note", options->notes, "A line for its head; repeatable")
        ->type_name("TEXT")
        ->allow_extra_args(false);
    verb->add_option("--before", options->before, "Bench: measured before a repair; repeatable")
        ->type_name("RESULT")
        ->allow_extra_args(false);
    verb->add_option("--receiver", options->receiver, "Bench: name of the set")->type_name("NAME");
    verb->add_option("--supply", options->supply, "Bench: what it ran on")->type_name("TEXT");
    add_log_part(*verb, *options);
    verb->add_option("--paper", options->paper, "Of a PDF")
        ->type_name("a4|letter")
        ->capture_default_str()
        ->check(one_of({"a4", "letter"}));
    verb->add_flag("--force", options->force, "Overwrite the file");
    verb->footer(kExample);
    verb->callback([options, &chosen] { chosen = [options] { return run_sheet(*options); }; });
}

}  // namespace skedlark::cli
