// A result of the bench as JSON Lines: what `skedlark bench --json` prints and the desk saves.
//
// Stage:   bench. In: Sheet. Out: lines of JSON, each with its line feed.
// Units:   in the names (docs/file-formats.md); rounding adds nothing to an uncertainty.
// Shape:   an input line, measurements, occurrences, notes, and the line "bench" at the end.
// Time:    none.
// Errors:  none; what is no number is null, bytes that are not UTF-8 are replaced.
// Threads: pure.
// Source:  docs/file-formats.md
// Checked: tests/dsp/bench/sheet_json_test.cpp, tests/cli/bench_test.cpp
#pragma once

#include <string>

#include "dsp/bench/sheet.h"

namespace skedlark::bench {

[[nodiscard]] std::string sheet_json(const Sheet& sheet);

}  // namespace skedlark::bench
