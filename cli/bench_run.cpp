#include "cli/bench_run.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>

#include "cli/bench_session.h"
#include "cli/bench_view.h"
#include "cli/sources.h"
#include "cli/stop_signal.h"

namespace skedlark::cli {

namespace {

struct ReadState {
    double skip_frames = 0.0;
    std::size_t most_frames = 0;
};

// Until the source ends, or enough was read.
void read_all(audio::Source& source, ReadState state, BenchAudio& out) {
    std::array<float, 8192> block{};
    double lost_s = 0.0;
    while (out.audio.size() < state.most_frames) {
        const Result<audio::ReadResult> read = source.read(block);
        if (!read) {
            out.cut_short = read.error();
            break;
        }
        if (read->lost) lost_s += read->frames / source.sample_rate_hz();
        lost_s += static_cast<double>(read->lost_frames) / source.sample_rate_hz();
        const int skipped =
            static_cast<int>(std::min(state.skip_frames, static_cast<double>(read->frames)));
        state.skip_frames -= skipped;
        out.audio.insert(out.audio.end(), block.begin() + skipped, block.begin() + read->frames);
        if (read->end) break;
    }
    out.audio.resize(std::min(out.audio.size(), state.most_frames));
    out.remarks = sound_remarks(source, lost_s);
}

class BenchRun {
 public:
    BenchRun(const BenchTest& test, BenchCommon common)
        : test_(test), common_(std::move(common)), session_(test.name) {}

    ExitStatus run() {
        return session_.run([this](ExitStatus& status) { return work(status); });
    }

 private:
    Status work(ExitStatus& status) {
        const auto file = one_input(common_.input);
        if (!file) return file.error();
        const auto limits = limits_of(common_.limits);
        if (!limits) return limits.error();
        if (!common_.chain_file.empty()) {
            auto chain = bench::read_chain(common_.chain_file);
            if (!chain) return chain.error();
            common_.chain = *chain;
        }
        BenchSession::caution(test_.caution);
        const auto audio = read_bench_audio(common_, *file, test_.live_s);
        if (!audio) return audio.error();
        if (audio->audio.empty()) {
            if (audio->cut_short) return *audio->cut_short;
            return Error{ErrorCode::invalid_value,
                         fmt::format("{}: no audio{}", audio->name,
                                     common_.from_s > 0.0 ? " after --from" : "")};
        }
        auto report = test_.measure(*audio, common_);
        if (!report) {
            // The end before the time is the better reason why too little was there.
            if (audio->cut_short) session_.say(audio->cut_short->message);
            return Error{report.error().code, audio->name + ": " + report.error().message};
        }
        report->remarks.insert(report->remarks.end(), audio->remarks.begin(), audio->remarks.end());
        if (common_.chain && common_.chain->sample_rate_hz != audio->sample_rate_hz) {
            report->remarks.push_back(
                fmt::format("The chain was measured at {:g} Hz, this recording is at {:g} Hz.",
                            common_.chain->sample_rate_hz, audio->sample_rate_hz));
        }
        const bench::Sheet result{test_.name,       audio->name, audio->sample_rate_hz,
                                  audio->seconds(), *report,     *limits};
        const bool live = common_.input.live;
        status = session_.end(
            audio->name, live, audio->cut_short,
            session_.tell(result, bench::keeps_limits(result), common_.json, common_.log, live));
        return Done{};
    }

    const BenchTest& test_;
    BenchCommon common_;
    BenchSession session_;
};

void add_common(CLI::App& verb, BenchCommon& common, double live_s) {
    add_input_options(verb, common.input);
    verb.add_option("--from", common.from_s, "Leave out so many seconds at the beginning")
        ->type_name("S")
        ->check(number_within({0.0, kLongestBenchS, "s"}));
    verb.add_option(
            "--seconds", common.seconds,
            fmt::format("Use so many seconds; with --live {:g} where left out, else all", live_s))
        ->type_name("S")
        ->check(number_within({0.1, kLongestBenchS, "s"}));
    verb.add_option("--limits", common.limits, "Limits to keep (TOML, see docs/file-formats.md)")
        ->type_name("FILE");
    verb.add_option("--chain", common.chain_file,
                    "Measuring chain this was recorded with, from bench chain --save")
        ->type_name("FILE");
    add_bench_log_options(verb, common.log);
    verb.add_flag("--json", common.json, "JSON Lines");
}

}  // namespace

Result<BenchAudio> read_bench_audio(const BenchCommon& common, const std::string& file,
                                    double live_s) {
    auto source = open_source(common.input, file, kTakeLostAfterS);
    if (!source) return source.error();
    const StopOnSignal stopping(**source);
    BenchAudio audio;
    audio.name = (*source)->name();
    audio.sample_rate_hz = (*source)->sample_rate_hz();
    const double seconds = common.seconds.value_or(common.input.live ? live_s : kLongestBenchS);
    read_all(**source,
             {std::floor(common.from_s * audio.sample_rate_hz),
              static_cast<std::size_t>(seconds * audio.sample_rate_hz)},
             audio);
    return audio;
}

CLI::App* add_bench_test(CLI::App& bench, Run& chosen, BenchTest test) {
    auto common = std::make_shared<BenchCommon>();
    CLI::App* verb = bench.add_subcommand(test.name, test.description);
    add_common(*verb, *common, test.live_s);
    verb->footer(test.footer +
                 (test.caution.empty() ? "" : "\n" + wrapped_text(test.caution, 80, 0)));
    auto shared = std::make_shared<BenchTest>(std::move(test));
    verb->callback([=, &chosen] { chosen = [=] { return BenchRun(*shared, *common).run(); }; });
    return verb;
}

}  // namespace skedlark::cli
