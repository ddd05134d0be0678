// Results of the bench kept in the log, and two of them compared: before and after a repair.
//
// Stage:   cli. In: a sheet; two of the log compared (dsp/log/bench_entry.h). Out: an entry; text, JSON Lines.
// Errors:  a log that cannot be written is said, not minded.
// Threads: one.
// Checked: tests/cli/bench_test.cpp, log_test.cpp
#pragma once

#include <CLI/App.hpp>
#include <string>

#include "dsp/log/bench_entry.h"

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
void log_bench(const BenchLogOptions& options, const bench::Sheet& result, bool kept, bool live);

[[nodiscard]] std::string changes_text(const log::BenchChanges& changes);
[[nodiscard]] std::string changes_json(const log::BenchChanges& changes);

}  // namespace skedlark::cli
