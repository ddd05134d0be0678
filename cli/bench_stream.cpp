#include "cli/bench_stream.h"

#include <array>
#include <cmath>
#include <limits>

#include "cli/bench_session.h"
#include "cli/sources.h"
#include "cli/stop_signal.h"

namespace skedlark::cli {

namespace {

constexpr double kLongestS = 1e7;

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
        : test_(test), options_(options), session_(test.name) {}

    ExitStatus run() {
        return session_.run([this](ExitStatus& status) { return work(status); });
    }

 private:
    Status work(ExitStatus& status) {
        const auto file = one_input(options_.input);
        if (!file) return file.error();
        const auto limits = limits_of(options_.limits);
        if (!limits) return limits.error();
        auto source = open_source(options_.input, *file, kRunLostAfterS);
        if (!source) return source.error();
        const StopOnSignal stopping(**source);
        const double rate_hz = (*source)->sample_rate_hz();
        auto meter = test_.begin(rate_hz);
        if (!meter) return meter.error();
        BenchSession::caution(test_.caution);
        const double most = options_.seconds > 0.0 ? std::floor(options_.seconds * rate_hz)
                                                   : std::numeric_limits<double>::infinity();
        const Heard heard = hear(**source, most, **meter);
        auto report = (*meter)->finish();
        if (!report) {
            if (heard.cut_short) session_.say(heard.cut_short->message);
            return Error{report.error().code, (*source)->name() + ": " + report.error().message};
        }
        for (const std::string& remark : sound_remarks(**source, heard.lost_frames / rate_hz))
            report->remarks.push_back(remark);
        const std::string name = (*source)->name();
        const bench::Sheet result{test_.name, name,   rate_hz, heard.frames / rate_hz,
                                  *report,    *limits};
        const bool live = options_.input.live;
        status = session_.end(
            name, live, heard.cut_short,
            session_.tell(result, bench::keeps_limits(result), options_.json, options_.log, live));
        return Done{};
    }

    const StreamTest& test_;
    const StreamOptions& options_;
    BenchSession session_;
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
