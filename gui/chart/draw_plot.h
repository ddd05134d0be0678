// Draws a Plot with Qt Charts: into a chart of a page, or with a painter, where there is no display.
//
// Stage:   gui/chart. In: Plot, Theme. Out: a filled QChart; a picture on any paint device.
// Units:   as the plot's axes.
// Shape:   series are told apart by dash or marker as well as by strength of the one ink; whiskers up to
//          kMostWhiskers points, a band beyond. Series of thousands of points should be thinned first.
// Time:    some tens of milliseconds for a thousand points.
// Errors:  none.
// Threads: the application's; a QApplication must be there.
// Source:  none
// Checked: tests/desk/chart/draw_plot_test.cpp
#pragma once

#include <QChart>
#include <QPainter>
#include <QSvgGenerator>

#include "gui/chart/plot.h"
#include "gui/common/theme.h"

namespace skedlark::gui {

inline constexpr std::size_t kMostWhiskers = 60;

// Whatever the chart held goes. type_points: size of its lettering. paper: what it lies on, the theme's
// where it is left out.
void draw_plot(QChart& chart, const Plot& plot, const Theme& theme, double type_points,
               const QColor& paper = {});
// On white.
void paint_plot(QPainter& painter, const QRectF& where, const Plot& plot, const Theme& theme,
                double type_points);
// Of so many pixels; with its title, and `said` as description. Begins with "<svg".
[[nodiscard]] QByteArray plot_svg(const Plot& plot, const QSize& size, const Theme& theme,
                                  double type_points);

}  // namespace skedlark::gui
