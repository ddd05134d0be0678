// Entries of the log out of their JSON Lines, as `skedlark log --json` prints them.
//
// Stage:   gui/sheet. In: Results of log. Out: log::Entry, in order of time.
// Units:   as log::Entry.
// Shape:   what heard stations and recordings hold is left out: no sheet needs it.
// Errors:  throws BadResult.
// Threads: none.
// Source:  docs/file-formats.md
// Checked: tests/desk/sheet/log_entries_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/log/entry.h"
#include "gui/sheet/result_file.h"

namespace skedlark::gui {

[[nodiscard]] std::vector<log::Entry> log_entries(const Results& results);
// "2026-11-23"; days since 1970 with their fraction.
[[nodiscard]] std::string day_of(UtcTime time);
[[nodiscard]] double days_of(UtcTime time);

}  // namespace skedlark::gui
