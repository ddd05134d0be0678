// skedlark sheet: a printable sheet of results.
//
// Stage:   cli. In: the command line, results, the log. Out: what skedlark-sheet draws.
// Errors:  those of skedlark-sheet; where it is not there, a sentence that says where it was looked for.
// Threads: none.
// Checked: tests/cli/sheet_test.cpp
#pragma once

#include "cli/options.h"

namespace skedlark::cli {

void add_sheet(CLI::App& program, Run& chosen);

}  // namespace skedlark::cli
