#include "gui/chart/plot_view.h"

#include "gui/chart/draw_plot.h"

namespace skedlark::gui {

PlotView::PlotView(QWidget* parent) : QChartView(new QChart, parent) {
    setFocusPolicy(Qt::NoFocus);
    setFrameShape(QFrame::NoFrame);
    setRenderHint(QPainter::Antialiasing);
}

void PlotView::set_plot(Plot plot) {
    plot_ = std::move(plot);
    setAccessibleName(QString::fromStdString(plot_.title));
    setAccessibleDescription(QString::fromStdString(plot_.said));
    redraw();
}

void PlotView::set_theme(const Theme& theme) {
    theme_ = theme;
    redraw();
}

void PlotView::redraw() {
    setBackgroundBrush(theme_.paper());
    draw_plot(*chart(), plot_, theme_, theme_.body().pointSizeF());
}

}  // namespace skedlark::gui
