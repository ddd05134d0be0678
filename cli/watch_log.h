// Writes a watch into the log while it goes on; a log that cannot be written is said, not minded.
//
// Stage:   cli. In: options, the input, events of the watch. Out: one entry of the log.
// Time:    the entry is there from the start and is renewed once a minute, so that it outlives a
//          power cut.
// Errors:  once on standard error; the watch goes on.
// Threads: one.
// Checked: tests/cli/log_test.cpp, live_test.cpp
#pragma once

#include <CLI/App.hpp>
#include <chrono>
#include <optional>
#include <string>
#include <vector>

#include "cli/options.h"
#include "cli/sources.h"
#include "dsp/core/events.h"
#include "dsp/core/result.h"
#include "dsp/log/log_book.h"
#include "dsp/log/log_path.h"
#include "dsp/log/watch_entry.h"

namespace skedlark::cli {

struct LogOptions {
    bool wanted = false;   // --log; a live watch is logged without it
    bool refused = false;  // --no-log
    std::string file;      // empty: default_log_path()
    std::string who;
    std::string contact;
    std::string receiver;
};

using log::default_log_path;
using log::log_path_for_writing;
using log::whole_path;

// Adds --log-file: where the log is, default_log_path() where it is left out.
CLI::Option* add_log_file_option(CLI::App& verb, std::string& file);

// Adds --log, --no-log, --log-file, --contact, --receiver and --who.
void add_log_options(CLI::App& verb, LogOptions& options);

// What was recorded, a line a file; "" without a recorder.
[[nodiscard]] std::string recorded_files(const audio::Recorder* recorder);

class WatchLog {
 public:
    // Empty where neither is wanted: live watches are logged unless that is refused, others where it is
    // asked for.
    [[nodiscard]] static std::optional<WatchLog> open(const LogOptions& options,
                                                      const std::string& verb,
                                                      const InputOptions& from,
                                                      const InputLine& input,
                                                      const std::string& record_folder);
    // verb: whose errors they are. facts: what is known before anything is heard.
    WatchLog(const LogOptions& options, std::string verb, log::Entry facts);

    void add(const std::vector<Event>& events);
    void add(const log::HeardStation& station) { entry_.add(station); }
    void add(const log::Measurement& measured) { entry_.add(measured); }
    void reach(double seconds);
    void end(const std::string& cut_short, const std::string& recording);

 private:
    using Clock = std::chrono::steady_clock;
    Status open_book(const std::string& file);
    void write();
    void give_up(const Error& error);

    std::string verb_;
    std::string recording_;
    log::WatchEntry entry_;
    std::optional<log::LogBook> book_;  // empty: the log cannot be written
    Clock::time_point written_;
};

}  // namespace skedlark::cli
