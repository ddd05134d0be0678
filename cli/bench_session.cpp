#include "cli/bench_session.h"

#include <fmt/format.h>

#include "cli/stop_signal.h"
#include "cli/terminal.h"
#include "dsp/bench/input_check.h"
#include "dsp/bench/sheet_json.h"

namespace skedlark::cli {

Result<std::string> one_input(const InputOptions& options) {
    if (const Status right = check_input_options(options); !right) return right.error();
    if (options.files.size() > 1) {
        return Error{ErrorCode::invalid_value,
                     "INPUT '" + options.files[1] + "': a test takes one input"};
    }
    return options.live ? std::string() : options.files.front();
}

Result<bench::Limits> limits_of(const std::string& file) {
    if (file.empty()) return bench::Limits();
    return bench::Limits::read(file);
}

std::vector<std::string> sound_remarks(const audio::Source& source, double lost_s) {
    std::vector<std::string> remarks;
    if (lost_s > 0.0) {
        remarks.push_back(bench::lost_words(lost_s));
    }
    if (source.bad_samples() > 0) {
        remarks.push_back(
            fmt::format("{} samples were no numbers and count as 0.", source.bad_samples()));
    }
    return remarks;
}

ExitStatus BenchSession::run(const std::function<Status(ExitStatus&)>& work) {
    ExitStatus status = kDone;
    if (const Status done = work(status); !done) {
        say(done.error().message);
        return exit_status(done.error().code);
    }
    if (out_.flush()) return status;
    say(out_.failure()->message);
    return out_.failure()->status;
}

void BenchSession::say(const std::string& message) const { print_error("bench " + test_, message); }

void BenchSession::caution(const std::string& text) {
    if (text.empty()) return;
    Output side(2);
    side.write(wrapped_text(text, static_cast<std::size_t>(kPlainWidth), 0));
    side.flush();
}

ExitStatus BenchSession::tell(const bench::Sheet& result, bool kept, bool json,
                              const BenchLogOptions& log, bool live) {
    out_.write(json ? bench::sheet_json(result) : bench_text(result));
    out_.flush();
    log_bench(log, result, kept, live);
    return kept ? kDone : kAnswerNo;
}

ExitStatus BenchSession::end(const std::string& input, bool live,
                             const std::optional<Error>& cut_short, ExitStatus status) const {
    if (cut_short) {
        say(cut_short->message);
        return exit_status(cut_short->code);
    }
    if (!live && stop_signal_seen()) {
        say(input + ": stopped before its end");
        return kCutShort;
    }
    return status;
}

}  // namespace skedlark::cli
