// Options that several verbs share: numbers with a range, and where the audio comes from.
//
// Stage:   cli. In: the command line. Out: plain structs.
// Errors:  names the option, the value and what is allowed.
// Threads: none.
// Checked: tests/cli/options_test.cpp, bad_input_test.cpp
#pragma once

#include <CLI/App.hpp>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cli/exit_status.h"
#include "dsp/core/result.h"

namespace skedlark::cli {

struct Range {
    double from = 0.0;
    double to = 0.0;
    std::string unit{};  // "Hz"; may be empty
};

// Finite decimal numbers within the range; whole ones only where asked for.
[[nodiscard]] CLI::Validator number_within(const Range& range, bool whole = false);

// One of these words.
[[nodiscard]] CLI::Validator one_of(const std::vector<std::string>& words);

// "1", "2", ..., or "mix".
struct ChannelChoice {
    int channel = 1;
    bool mix = false;
};
[[nodiscard]] Result<ChannelChoice> parse_channel(const std::string& text);

struct InputOptions {
    std::vector<std::string> files;  // "-": standard input
    bool live = false;
    std::string device;  // empty: the default one
    std::string channel = "1";
    double raw_rate_hz = 0.0;  // 0: not raw
};

// Adds INPUT..., --live, --channel and --raw.
void add_input_options(CLI::App& verb, InputOptions& options);
// What CLI11 cannot say: exactly one of files and --live, standard input once, a channel that
// reads.
[[nodiscard]] Status check_input_options(const InputOptions& options);

// What the chosen verb does, called once the command line is known to be right.
using Run = std::function<ExitStatus()>;

void add_copy(CLI::App& program, Run& chosen);
void add_find(CLI::App& program, Run& chosen);
void add_fist(CLI::App& program, Run& chosen);
void add_drill(CLI::App& program, Run& chosen);
void add_key(CLI::App& program, Run& chosen);
void add_devices(CLI::App& program, Run& chosen);
void add_sweep(CLI::App& program, Run& chosen);
void add_dial(CLI::App& program, Run& chosen);
void add_sked(CLI::App& program, Run& chosen);
void add_log(CLI::App& program, Run& chosen);
void add_bench(CLI::App& program, Run& chosen);

}  // namespace skedlark::cli
