// Results of the bench kept in the log, and two of them compared: before and after a repair.
//
// Stage:   cli. In: BenchResult; entries of the log. Out: an entry of the kind bench; text, JSON Lines.
// Units:   those of the measurements' names.
// Shape:   in the entry a measurement is called TEST.NAME, as in a limits file; " (WHERE)" follows where
//          there are several, " (at most)" or " (at least)" where it is a bound.
// Errors:  a log that cannot be written is said, not minded. Comparing: invalid_value where the entries are no
//          sheets of the same test.
// Threads: one.
// Checked: tests/cli/bench_test.cpp, log_test.cpp
#pragma once

#include <CLI/App.hpp>
#include <string>

#include "cli/bench_view.h"
#include "dsp/bench/change.h"
#include "dsp/core/result.h"
#include "dsp/log/entry.h"

namespace skedlark::cli {

struct BenchLogOptions {
    bool wanted = false;
    std::string file{};  // empty: default_log_path()
    std::string receiver{};
    std::string who{};
};

// Adds --log, --log-file, --receiver and --who.
void add_bench_log_options(CLI::App& verb, BenchLogOptions& options);

// Where that is wanted. kept: the test's own verdict. live: the sound ended just now.
void log_bench(const BenchLogOptions& options, const BenchResult& result, bool kept, bool live);

// "" where the entry is no sheet of the bench.
[[nodiscard]] std::string bench_test_of(const log::Entry& entry);

struct BenchChanges {
    std::string test{};
    log::Entry before{};
    log::Entry after{};
    std::vector<bench::Change> changes{};
};
[[nodiscard]] Result<BenchChanges> compare_bench(const log::Entry& before, const log::Entry& after);
[[nodiscard]] std::string changes_text(const BenchChanges& changes);
[[nodiscard]] std::string changes_json(const BenchChanges& changes);

}  // namespace skedlark::cli
