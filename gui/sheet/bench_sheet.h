// The sheet of a receiver's bench: every figure with its limit, pass or fail, and before against after.
//
// Stage:   gui/sheet. In: results of bench, those of before a repair, what the person says. Out: Sheet.
// Units:   of the figures' names, uncertainties as half of the 95 % interval.
// Shape:   a summary, then a part a test in the order given.
// Errors:  throws BadResult.
// Threads: none.
// Source:  changes: dsp/bench/change.h
// Checked: tests/desk/sheet/bench_sheet_test.cpp
#pragma once

#include <optional>
#include <string>

#include "gui/sheet/bench_result.h"
#include "gui/sheet/sheet.h"

namespace skedlark::gui {

struct BenchWishes {
    std::optional<Results> before{};
    std::string receiver{};
    std::string supply{};  // "battery, 12.2 V under load"
};

[[nodiscard]] Sheet bench_sheet(const Results& results, const BenchWishes& wishes);

}  // namespace skedlark::gui
