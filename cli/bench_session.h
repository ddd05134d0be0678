// How every test of the bench begins and ends: one input, limits, caution, result, exit status.
//
// Stage:   cli. In: what a test measured. Out: text or JSON Lines, an entry of the log, an exit status.
// Errors:  those of the input and of the limits file.
// Threads: one.
// Checked: tests/cli/bench_test.cpp, tests/cli/bench_events_test.cpp
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cli/bench_log.h"
#include "cli/bench_view.h"
#include "cli/exit_status.h"
#include "cli/options.h"
#include "cli/output.h"
#include "dsp/audio/source.h"
#include "dsp/bench/limits.h"
#include "dsp/core/result.h"

namespace skedlark::cli {

// A recording with a hole is no measurement: a sound input that stays away ends it, and what was had is
// measured. What runs for hours waits longer.
inline constexpr double kTakeLostAfterS = 3.0;
inline constexpr double kRunLostAfterS = 60.0;

// The options are right and name one input; "" for live sound.
[[nodiscard]] Result<std::string> one_input(const InputOptions& options);
// No file: the project's own limits.
[[nodiscard]] Result<bench::Limits> limits_of(const std::string& file);
// What went wrong with the sound while it came in, one sentence each.
[[nodiscard]] std::vector<std::string> sound_remarks(const audio::Source& source, double lost_s);

class BenchSession {
 public:
    explicit BenchSession(std::string test) : test_(std::move(test)) {}

    // The work sets the exit status; an error is told in its stead.
    ExitStatus run(const std::function<Status(ExitStatus&)>& work);

    void say(const std::string& message) const;
    // On standard error; "" says nothing.
    static void caution(const std::string& text);
    [[nodiscard]] Output& out() { return out_; }

    // Tells and logs a result. kept: no limit was missed, and nothing else either.
    ExitStatus tell(const bench::Sheet& result, bool kept, bool json, const BenchLogOptions& log,
                    bool live);
    // The sound ended before its time, by an error or by the operator; else the status stays.
    ExitStatus end(const std::string& input, bool live, const std::optional<Error>& cut_short,
                   ExitStatus status) const;

 private:
    std::string test_;
    Output out_{1};
};

}  // namespace skedlark::cli
