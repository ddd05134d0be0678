// The sheet of whatever results are given.
//
// Stage:   gui/sheet. In: Results, what the person adds. Out: Sheet.
// Units:   none.
// Shape:   the kind of the results decides.
// Errors:  damaged: a field is missing or of another type, named with file and line; invalid_value: an
//          addition that this kind of sheet has no place for.
// Threads: none.
// Source:  none
// Checked: tests/desk/sheet/make_sheet_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "gui/sheet/bench_sheet.h"
#include "gui/sheet/kinds.h"

namespace skedlark::gui {

struct SheetWishes {
    std::string title{};  // empty: the kind's own
    std::string made{};   // when, for the head; empty: not said
    std::vector<std::string> notes{};
    BenchWishes bench{};  // of results of bench only
};

[[nodiscard]] Result<Sheet> make_sheet(const Results& results, const SheetWishes& wishes);

}  // namespace skedlark::gui
