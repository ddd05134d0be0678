// What copy and find share: every input through a watch, its events to a printer, its end to a
// status.
//
// Stage:   cli. In: InputOptions, a WatchConfig, a printer. Out: events printed, exit status.
// Errors:  to standard error, naming the input; the next input is still read.
// Threads: one.
// Checked: tests/cli/copy_test.cpp, streams_test.cpp, live_test.cpp
#pragma once

#include <string>
#include <vector>

#include "cli/options.h"
#include "cli/output.h"
#include "cli/progress.h"
#include "cli/sources.h"
#include "cli/watch_log.h"
#include "dsp/watch/watch.h"

namespace skedlark::cli {

// How one verb shows what a watch says.
class Printer {
 public:
    Printer() = default;
    Printer(const Printer&) = delete;
    Printer& operator=(const Printer&) = delete;
    virtual ~Printer() = default;

    // several: more than one input was named, so each needs a heading.
    virtual void begin(const InputLine& input, bool several) = 0;
    virtual void show(const std::vector<Event>& events) = 0;
    // A line that shows how far the work is, "" to take it away; only for a terminal.
    virtual void show_status(const std::string& status) = 0;
    virtual void end() = 0;
    // The answer for the last input: text was copied, a tone was found.
    [[nodiscard]] virtual bool answer() const = 0;
    [[nodiscard]] virtual Output& output() = 0;
};

struct WatchingOptions {
    std::string verb;
    InputOptions input;
    watch::WatchConfig watch;
    RecordOptions record{};
    LogOptions log{};
};

// Adds --pitch (0 where it is not given) and --span.
void add_watch_options(CLI::App& verb, WatchingOptions& options, double& pitch_hz);

[[nodiscard]] ExitStatus watch_inputs(const WatchingOptions& options, Printer& printer);

}  // namespace skedlark::cli
