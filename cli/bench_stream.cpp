#include "cli/bench_stream.h"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <limits>

#include "cli/bench_log.h"
#include "cli/bench_view.h"
#include "cli/output.h"
#include "cli/sources.h"
#include "cli/stop_signal.h"

namespace skedlark::cli {

namespace {

constexpr double kLongestS = 1e7;
constexpr std::size_t kTextWidth = 80;

struct StreamOptions {
    InputOptions input{};
    double seconds = 0.0;  // 0: to the end
    std::string limits{};
    bool json = false;
    BenchLogOptions log{};
};

struct Heard {
    double frames = 0.0;
    double lost_frames = 0.0;
    std::optional<Error> cut_short{};
};

Heard hear(audio::Source& source, double most_frames, StreamMeter& meter) {
    Heard heard;
    std::array<float, 16384> block{};
    // Audio that was lost stands as silence, or all later times would be wrong.
    const std::array<float, 16384> silence{};
    while (heard.frames < most_frames) {
        const auto read = source.read(block);
        if (!read) {
            heard.cut_short = read.error();
            break;
        }
        for (auto left = read->lost_frames; left > 0;) {
            const auto piece = std::min<FrameIndex>(left, static_cast<FrameIndex>(silence.size()));
            meter.process(std::span<const float>(silence).first(static_cast<std::size_t>(piece)));
            left -= piece;
        }
        heard.lost_frames +=
            static_cast<double>(read->lost_frames) + (read->lost ? read->frames : 0);
        const auto taken = static_cast<std::size_t>(
            std::min(static_cast<double>(read->frames), most_frames - heard.frames));
        meter.process(std::span<const float>(block).first(taken));
        heard.frames += static_cast<double>(taken);
        if (read->end) break;
    }
    return heard;
}

class StreamRun {
 public:
    StreamRun(const StreamTest& test, const StreamOptions& options)
        : test_(test), options_(options) {}

    ExitStatus run() {
        ExitStatus status = kDone;
        if (const Status done = work(status); !done) {
            say(done.error().message);
            return exit_status(done.error().code);
        }
        if (out_.flush()) return status;
        say(out_.failure()->message);
        return out_.failure()->status;
    }

 private:
    void say(const std::string& message) const { print_error("bench " + test_.name, message); }

    Status work(ExitStatus& status) {
        if (Status right = check_input_options(options_.input); !right) return right;
        if (options_.input.files.size() > 1) {
            return Error{ErrorCode::invalid_value,
                         "INPUT '" + options_.input.files[1] + "': a test takes one input"};
        }
        bench::Limits limits;
        if (!options_.limits.empty()) {
            auto read = bench::Limits::read(options_.limits);
            if (!read) return read.error();
            limits = *read;
        }
        auto source =
            open_source(options_.input, options_.input.live ? "" : options_.input.files.front());
        if (!source) return source.error();
        const StopOnSignal stopping(**source);
        const double rate_hz = (*source)->sample_rate_hz();
        auto meter = test_.begin(rate_hz);
        if (!meter) return meter.error();
        if (!test_.caution.empty()) {
            Output side(2);
            side.write(wrapped_text(test_.caution, kTextWidth, 0));
            side.flush();
        }
        const double most = options_.seconds > 0.0 ? std::floor(options_.seconds * rate_hz)
                                                   : std::numeric_limits<double>::infinity();
        const Heard heard = hear(**source, most, **meter);
        auto report = (*meter)->finish();
        if (!report) {
            if (heard.cut_short) say(heard.cut_short->message);
            return Error{report.error().code, (*source)->name() + ": " + report.error().message};
        }
        if (heard.lost_frames > 0.0)
            report->remarks.push_back(fmt::format("{:.2f} s of the audio were lost on the way.",
                                                  heard.lost_frames / rate_hz));
        if ((*source)->bad_samples() > 0)
            report->remarks.push_back(fmt::format("{} samples were no numbers and count as 0.",
                                                  (*source)->bad_samples()));
        const BenchResult result{
            test_.name, (*source)->name(), rate_hz, heard.frames / rate_hz, *report, limits};
        out_.write(options_.json ? bench_json(result) : bench_text(result));
        out_.flush();
        log_bench(options_.log, result, keeps_limits(result), options_.input.live);
        status = keeps_limits(result) ? kDone : kAnswerNo;
        if (heard.cut_short) {
            say(heard.cut_short->message);
            status = exit_status(heard.cut_short->code);
        } else if (!options_.input.live && stop_signal_seen()) {
            say((*source)->name() + ": stopped before its end");
            status = kCutShort;
        }
        return Done{};
    }

    const StreamTest& test_;
    const StreamOptions& options_;
    Output out_{1};
};

}  // namespace

CLI::App* add_stream_test(CLI::App& bench, Run& chosen, StreamTest test) {
    auto options = std::make_shared<StreamOptions>();
    CLI::App* verb = bench.add_subcommand(test.name, test.description);
    add_input_options(*verb, options->input);
    verb->add_option("--seconds", options->seconds,
                     "Use so many seconds; else all, or with --live until stopped (Ctrl-C)")
        ->type_name("S")
        ->check(number_within({1.0, kLongestS, "s"}));
    verb->add_option("--limits", options->limits, "Limits to keep (TOML, see docs/file-formats.md)")
        ->type_name("FILE");
    add_bench_log_options(*verb, options->log);
    verb->add_flag("--json", options->json, "JSON Lines");
    verb->footer(test.footer);
    auto shared = std::make_shared<StreamTest>(std::move(test));
    verb->callback([=, &chosen] { chosen = [=] { return StreamRun(*shared, *options).run(); }; });
    return verb;
}

}  // namespace skedlark::cli
