// A Sheet as PDF: the same words, tables and plots as in HTML, all as vectors and text.
//
// Stage:   gui/sheet. In: Sheet. Out: PDF 1.4.
// Units:   paper by its name.
// Shape:   as many pages as it takes; heads of a table are repeated, a plot stays on one page.
// Errors:  none.
// Threads: the application's; a QApplication must be there.
// Source:  none
// Checked: tests/desk/sheet/pdf_sheet_test.cpp
#pragma once

#include <QByteArray>

#include "gui/sheet/sheet.h"

namespace skedlark::gui {

enum class Paper { a4, letter };

[[nodiscard]] QByteArray pdf_of(const Sheet& sheet, Paper paper = Paper::a4);

}  // namespace skedlark::gui
