// Sheets of what the log holds: a person's practice over a week, a receiver's bench over the years.
//
// Stage:   gui/sheet. In: entries. Out: Sheet.
// Units:   scores 0 to 100, shares in percent, days of UTC.
// Shape:   a part a person, or a receiver and test. Free practice and the fixed test are kept apart.
// Errors:  throw BadResult where no entry is of use.
// Threads: none.
// Source:  dsp/log/sending_trend.h, practice_record.h, line_trend.h, dsp/bench/change.h
// Checked: tests/desk/sheet/log_sheets_test.cpp
#pragma once

#include <span>

#include "dsp/log/entry.h"
#include "gui/sheet/sheet.h"

namespace skedlark::gui {

[[nodiscard]] Sheet practice_sheet(std::span<const log::Entry> entries);
[[nodiscard]] Sheet history_sheet(std::span<const log::Entry> entries);

}  // namespace skedlark::gui
