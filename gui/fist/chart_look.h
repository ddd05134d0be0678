// What every chart of the page has in common: paper, ink, no legend, no movement.
//
// Stage:   gui/fist. In: a chart, the theme. Out: its look.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/fist/fist_page_test.cpp
#pragma once

#include <QAbstractAxis>
#include <QChartView>

#include "gui/common/theme.h"

namespace skedlark::gui {

void prepare_chart(QChartView& view);
void style_chart(QChartView& view, const Theme& theme);
void style_axis(QAbstractAxis& axis, const Theme& theme, const QString& title);

}  // namespace skedlark::gui
