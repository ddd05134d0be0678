// What all studies share: which seeds, how sure, where the table goes.
//
// Stage:   tests.
// Units:   rates 0 to 1; intervals 95 %.
// Errors:  parse() prints what is wrong with an option; deliver() what could not be written.
// Threads: over_seeds() runs work on up to `threads` threads; results are in order of the seed, so
//          they do not depend on the number of threads.
// Checked: tests/accuracy/study_test.cpp
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "tests/support/csv.h"
#include "tests/support/intervals.h"
#include "tests/support/seed.h"
#include "tests/support/text_score.h"

namespace CLI {
class App;
}

namespace skedlark::accuracy {

struct StudyOptions {
    std::uint64_t first_seed = support::kFirstReportSeed;  // report seeds; below: for tuning
    int seeds = 20;                       // messages a row, each with its own text, hand and noise
    int characters = 300;                 // about this many characters a message, blanks counted
    int threads = 1;                      // 1 or 2
    std::string rows{};                   // only rows whose name holds this; empty: all
    std::vector<double> snr_2500hz_db{};  // only these; empty: the study's own list
    std::string out{};                    // CSV file; empty: standard output
};

// Adds --first-seed --seeds --characters --threads --rows --snr --out.
void add_study_options(CLI::App& app, StudyOptions& options);
// -1: go on; else the exit status to end with at once.
[[nodiscard]] int parse(CLI::App& app, int argc, char** argv);

// Random five-letter groups; the same seed gives the same text in every study.
[[nodiscard]] std::string letter_groups(int groups, std::uint64_t seed);
inline constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";

// The score of each seed, in order.
[[nodiscard]] std::vector<support::TextScore> over_seeds(
    const StudyOptions& options, const std::function<support::TextScore(std::uint64_t seed)>& run);

// A rate over all seeds with its interval: over whole messages (bootstrap), but never narrower than
// single independent errors would make it (Wilson): few messages with few errors look too even.
struct Rate {
    support::ErrorCount count;
    support::Interval interval;
};
[[nodiscard]] Rate rate_of(const std::vector<support::ErrorCount>& messages);

// Parts of a score, one per message.
[[nodiscard]] std::vector<support::ErrorCount> all_of(const std::vector<support::TextScore>& s);
[[nodiscard]] std::vector<support::ErrorCount> letters_of(const std::vector<support::TextScore>& s);
[[nodiscard]] std::vector<support::ErrorCount> spaces_of(const std::vector<support::TextScore>& s);

// Cells "cer", "cer_low", "cer_high", "letters", "spaces", "characters" and their column names.
[[nodiscard]] std::vector<std::string> score_columns();
[[nodiscard]] std::vector<std::string> score_cells(const std::vector<support::TextScore>& scores);

// Writes to options.out, or prints; returns the program's exit status.
[[nodiscard]] int deliver(const support::CsvTable& table, const StudyOptions& options);
[[nodiscard]] std::string seeds_note(const StudyOptions& options);

}  // namespace skedlark::accuracy
