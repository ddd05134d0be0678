// One function a kind of result: what its sheet says, in which order.
//
// Stage:   gui/sheet. In: Results of that kind. Out: Sheet.
// Units:   as the results; every figure is the result's own, only rounded.
// Shape:   a part for each input.
// Errors:  throw BadResult for a field that is missing or of another type.
// Threads: none.
// Source:  docs/file-formats.md; limits of doubt as on the other surfaces
// Checked: tests/desk/sheet/fist_sheet_test.cpp, copy_sheet_test.cpp and their like
#pragma once

#include "gui/sheet/result_file.h"
#include "gui/sheet/sheet.h"

namespace skedlark::gui {

[[nodiscard]] Sheet fist_sheet(const Results& results);
[[nodiscard]] Sheet copy_sheet(const Results& results);
[[nodiscard]] Sheet sweep_sheet(const Results& results);
[[nodiscard]] Sheet drill_sheet(const Results& results);

}  // namespace skedlark::gui
