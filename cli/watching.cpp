#include "cli/watching.h"

#include <fmt/format.h>

#include "cli/stop_signal.h"
#include "dsp/watch/drive.h"

namespace skedlark::cli {

namespace {

std::optional<WatchLog> open_log(const WatchingOptions& options, const InputLine& input) {
    return WatchLog::open(options.log, options.verb, options.input, input, options.record.folder);
}

// A contact missed for want of a sound input is one missed too; a slip in a device's name is none.
void log_no_input(const WatchingOptions& options, const std::string& why) {
    if (!options.input.live || options.log.contact.empty()) return;
    if (auto log = open_log(options, {.name = options.input.device})) log->end(why, "");
}

ExitStatus watch_one(const WatchingOptions& options, Result<OpenInput> input, bool several,
                     Printer& printer) {
    if (!input) {
        print_error(options.verb, input.error().message);
        log_no_input(options, input.error().message);
        return exit_status(input.error().code);
    }
    watch::WatchConfig setting = options.watch;
    // Standard input may come from something that listens.
    if (!input->source->is_live() && input->line.name != "-") {
        setting.lag_s = watch::kFileLagS;
    }
    Result<watch::Watch> watch = watch::Watch::create(setting);
    if (!watch) {
        print_error(options.verb, watch.error().message);
        return exit_status(watch.error().code);
    }
    const StopOnSignal stopping(*input->source);
    Progress progress(Progress::Clock::now());
    std::optional<WatchLog> log = open_log(options, input->line);
    printer.begin(input->line, several);
    watch::DriveHooks hooks;
    hooks.events = [&](const std::vector<Event>& events) {
        printer.show(events);
        if (log) log->add(events);
        return !printer.output().failure();
    };
    hooks.progress = [&](double done_s, std::optional<double> total_s) {
        if (log) log->reach(done_s);
        if (const auto line = progress.line(done_s, total_s, Progress::Clock::now())) {
            printer.show_status(*line);
        }
    };
    hooks.recorder = input->recorder.get();
    const Status status = watch::drive(*input->source, *watch, hooks);
    printer.end();
    const bool stopped = stop_signal_seen() && !input->source->is_live();
    const auto log_end = [&](const std::string& cut_short) {
        if (log) log->end(cut_short, recorded_files(input->recorder.get()));
    };
    if (!status) {
        log_end(status.error().message);
        print_error(options.verb, status.error().message);
        return exit_status(status.error().code);
    }
    if (input->recorder) {
        if (const Status recorded = input->recorder->close(); !recorded) {
            log_end(recorded.error().message);
            print_error(options.verb, recorded.error().message);
            return kCutShort;
        }
    }
    log_end(stopped ? "stopped before its end" : "");
    if (stopped) {
        print_error(options.verb, fmt::format("{}: stopped before its end", input->line.name));
        return kCutShort;
    }
    return printer.answer() ? kDone : kAnswerNo;
}

}  // namespace

void add_watch_options(CLI::App& verb, WatchingOptions& options, double& pitch_hz) {
    CLI::Option* pitch =
        verb.add_option("--pitch", pitch_hz,
                        "Listen near this pitch only; without it, from 200 to 3000 Hz")
            ->type_name("HZ")
            ->check(number_within({watch::kMinPitchHz, watch::kMaxPitchHz, "Hz"}));
    verb.add_option("--span", options.watch.span_hz, "How far from --pitch to listen, to each side")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({watch::kMinSpanHz, watch::kMaxSpanHz, "Hz"}))
        ->needs(pitch);
}

ExitStatus watch_inputs(const WatchingOptions& options, Printer& printer) {
    if (Status status = check_input_options(options.input); !status) {
        print_error(options.verb, status.error().message);
        return exit_status(status.error().code);
    }
    if (Status status = watch::check(options.watch); !status) {
        print_error(options.verb, status.error().message);
        return exit_status(status.error().code);
    }
    ExitStatus all = kAnswerNo;
    if (options.input.live) {
        all = watch_one(options, open_input(options.input, "", options.record), false, printer);
    }
    const bool several = options.input.files.size() > 1;
    for (const std::string& file : options.input.files) {
        all = worse(all, watch_one(options, open_input(options.input, file, options.record),
                                   several, printer));
        if (stop_signal_seen() || printer.output().failure()) {
            break;
        }
    }
    if (const auto& failure = printer.output().failure()) {
        print_error(options.verb, failure->message);
        return failure->status;
    }
    return all;
}

}  // namespace skedlark::cli
