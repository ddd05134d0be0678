// A Sheet as one HTML file: nothing is fetched, plots are inline SVG, ready to be printed.
//
// Stage:   gui/sheet. In: Sheet. Out: HTML 5, UTF-8.
// Units:   none.
// Shape:   light on any screen, black on white on paper; each plot has its words for who cannot see it.
// Errors:  none.
// Threads: the application's; a QApplication must be there.
// Source:  none
// Checked: tests/desk/sheet/html_sheet_test.cpp
#pragma once

#include <QByteArray>

#include "gui/sheet/sheet.h"

namespace skedlark::gui {

[[nodiscard]] QByteArray html_of(const Sheet& sheet);

}  // namespace skedlark::gui
