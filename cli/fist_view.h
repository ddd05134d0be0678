// A graded sending as text of 80 columns and as a line of JSON.
//
// Stage:   cli. In: fist::Grade. Out: text; the summary event of docs/file-formats.md.
// Units:   milliseconds and dots on paper; in JSON as the names say.
// Errors:  none; what was not measured is "n/a" or null.
// Threads: none.
// Checked: tests/cli/fist_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/fist/grading.h"
#include "dsp/fist/key_line.h"

namespace skedlark::cli {

struct GradedSending {
    fist::Grade grade;
    std::vector<std::optional<morse::Symbol>> text;  // meant; empty: not known
    std::optional<fist::KeyComparison> key;          // with --key-channel
};

[[nodiscard]] std::string fist_text(const GradedSending& graded);
[[nodiscard]] std::string fist_json(const GradedSending& graded);

}  // namespace skedlark::cli
