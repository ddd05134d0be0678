// A plot on a page: redrawn when it changes, when the theme does, and when there is room for more.
//
// Stage:   gui/chart. In: Plot, Theme. Out: a widget.
// Shape:   not to be reached by the keyboard: it shows, and what it shows stands in its description.
// Time:    set_plot() redraws at once; call it when something has changed, not at every refresh.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/chart/draw_plot_test.cpp
#pragma once

#include <QChartView>

#include "gui/chart/plot.h"
#include "gui/common/theme.h"

namespace skedlark::gui {

class PlotView : public QChartView {
    Q_OBJECT

 public:
    explicit PlotView(QWidget* parent = nullptr);
    void set_plot(Plot plot);
    void set_theme(const Theme& theme);
    [[nodiscard]] const Plot& plot() const { return plot_; }

 private:
    void redraw();

    Plot plot_;
    Theme theme_;
};

}  // namespace skedlark::gui
