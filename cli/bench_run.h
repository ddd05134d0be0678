// What all tests of `skedlark bench` share: input, limits, chain, how results are shown, how they end.
//
// Stage:   cli. In: the command line, sound. Out: text or JSON Lines, an exit status.
// To add a test: (1) its maths in dsp/bench, giving a bench::Report; (2) its rows in the table of
//          dsp/bench/limits.cpp; (3) a file cli/bench_NAME.cpp with
//              void add_bench_NAME(CLI::App& bench, Run& chosen) {
//                  auto own = std::make_shared<NameOptions>();
//                  CLI::App* verb = add_bench_test(bench, chosen, {.name = "NAME", ...,
//                      .measure = [own](const BenchAudio& audio, const BenchCommon&) { ... }});
//                  verb->add_option("--own", own->own, ...);
//              }
//          (4) its name here at the end, in cli/bench_verb.cpp and in cli/CMakeLists.txt.
// Errors:  those of the input and the measurement, one clear sentence each.
// Threads: one.
// Checked: tests/cli/bench_test.cpp
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cli/bench_log.h"
#include "cli/options.h"
#include "dsp/bench/cautions.h"
#include "dsp/bench/chain.h"
#include "dsp/bench/report.h"
#include "dsp/bench/tone_track.h"
#include "dsp/bench/whole_test.h"
#include "dsp/core/result.h"

namespace skedlark::cli {

using bench::kHeadphoneCaution;
using bench::kHighVoltageCaution;

// Longer recordings are of no use to any test, and all of it is held in memory.
inline constexpr double kLongestBenchS = 3600.0;

struct BenchAudio {
    std::string name{};
    double sample_rate_hz = 0.0;
    std::vector<float> audio{};
    std::optional<Error> cut_short{};    // what ended it before its time; what was had is in audio
    std::vector<std::string> remarks{};  // such as lost stretches

    [[nodiscard]] double seconds() const {
        return static_cast<double>(audio.size()) / sample_rate_hz;
    }
    [[nodiscard]] bench::Recorded recorded() const { return {audio, sample_rate_hz}; }
};

struct BenchCommon {
    InputOptions input{};
    double from_s = 0.0;
    std::optional<double> seconds{};
    std::string limits{};
    std::string chain_file{};
    std::optional<bench::Chain> chain{};  // read before the test begins
    bool json = false;
    BenchLogOptions log{};

    [[nodiscard]] const bench::Chain* chain_or_none() const { return chain ? &*chain : nullptr; }
};

struct BenchTest {
    std::string name{};         // as in the table of limits.cpp
    std::string description{};  // one line
    std::string footer{};       // examples, and what the figures mean
    std::string caution{};      // printed before it begins, and in --help; may be empty
    double live_s = 10.0;       // how long to listen with --live where --seconds is left out
    std::function<Result<bench::Report>(const BenchAudio&, const BenchCommon&)> measure{};
};

// The terminal has no use for the picture.
[[nodiscard]] inline Result<bench::Report> report_of(const Result<bench::Measured>& measured) {
    if (!measured) return measured.error();
    return measured->report;
}

CLI::App* add_bench_test(CLI::App& bench, Run& chosen, BenchTest test);

// A further file that a test needs, read as the options of the first one say.
[[nodiscard]] Result<BenchAudio> read_bench_audio(const BenchCommon& common,
                                                  const std::string& file, double live_s);

// Band, notch and pitch of tests that measure a tone.
struct ToneOptions {
    bench::ToneTrackConfig config{};
    double pitch_hz = 0.0;  // 0: any
};
void add_tone_options(CLI::App& verb, ToneOptions& options);
[[nodiscard]] bench::ToneTrackConfig tone_config(const ToneOptions& options);

void add_bench_chain(CLI::App& bench, Run& chosen);
void add_bench_hum(CLI::App& bench, Run& chosen);
void add_bench_sensitivity(CLI::App& bench, Run& chosen);
void add_bench_tone(CLI::App& bench, Run& chosen);
void add_bench_contacts(CLI::App& bench, Run& chosen);
void add_bench_dial(CLI::App& bench, Run& chosen);
void add_bench_drift(CLI::App& bench, Run& chosen);
void add_bench_passband(CLI::App& bench, Run& chosen);
void add_bench_peak(CLI::App& bench, Run& chosen);
void add_bench_ring(CLI::App& bench, Run& chosen);
void add_bench_faults(CLI::App& bench, Run& chosen);
void add_bench_rundown(CLI::App& bench, Run& chosen);

}  // namespace skedlark::cli
