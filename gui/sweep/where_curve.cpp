#include "gui/sweep/where_curve.h"

#include <QChart>
#include <QLegend>
#include <algorithm>

namespace skedlark::gui {

WhereCurve::WhereCurve(QWidget* parent)
    : QChartView(parent),
      upper_(new QLineSeries(this)),
      lower_(new QLineSeries(this)),
      area_(new QAreaSeries(upper_, lower_)),
      divisions_(new QValueAxis(this)),
      chance_(new QValueAxis(this)) {
    setAccessibleName(tr("Where the wanted station can be, by division"));
    setFocusPolicy(Qt::NoFocus);
    setFrameShape(QFrame::NoFrame);
    setRenderHint(QPainter::Antialiasing);
    chart()->addSeries(area_);
    chart()->addAxis(divisions_, Qt::AlignBottom);
    chart()->addAxis(chance_, Qt::AlignLeft);
    area_->attachAxis(divisions_);
    area_->attachAxis(chance_);
    divisions_->setLabelsVisible(false);
    chance_->setVisible(false);
    chart()->legend()->hide();
    chart()->setMargins({});
    chart()->setBackgroundRoundness(0);
    chart()->setAnimationOptions(QChart::NoAnimation);
}

void WhereCurve::restyle(const Theme& theme) {
    setBackgroundBrush(theme.paper());
    chart()->setBackgroundBrush(theme.paper());
    chart()->setBackgroundPen(Qt::NoPen);
    area_->setPen(QPen(theme.ink(), 1.5));
    area_->setBrush(theme.ink(Theme::kRule));
    divisions_->setLinePen(QPen(theme.ink(Theme::kFaint)));
    divisions_->setGridLinePen(QPen(theme.ink(Theme::kRule)));
}

void WhereCurve::show_model(const SweepModel& model) {
    const SweepAxis axis = model.axis();
    if (axis == axis_ && model.map_changes() == shown_changes_) return;
    axis_ = axis;
    shown_changes_ = model.map_changes();
    QList<QPointF> above;
    QList<QPointF> below;
    double most = 0.0;
    for (const CurvePoint& point : model.curve()) {
        above.append({point.div, point.per_div});
        below.append({point.div, 0.0});
        most = std::max(most, point.per_div);
    }
    upper_->replace(above);
    lower_->replace(below);
    divisions_->setRange(axis.low_div(), axis.high_div());
    const double step = axis.tick_step(most_ticks_);
    divisions_->setTickType(QValueAxis::TicksDynamic);
    divisions_->setTickAnchor(0.0);
    divisions_->setTickInterval(step);
    chance_->setRange(0.0, most > 0.0 ? 1.05 * most : 1.0);
}

void WhereCurve::align(double left, double width, int most_ticks) {
    if (left == left_ && width == width_ && most_ticks == most_ticks_) return;
    left_ = left;
    width_ = width;
    most_ticks_ = most_ticks;
    shown_changes_ = -1;
    place();
}

void WhereCurve::place() {
    chart()->setPlotArea({left_, 2.0, std::max(width_, 10.0), std::max(height() - 6.0, 10.0)});
}

void WhereCurve::resizeEvent(QResizeEvent* event) {
    QChartView::resizeEvent(event);
    place();
}

QSize WhereCurve::sizeHint() const { return {300, 50}; }

QSize WhereCurve::minimumSizeHint() const { return {300, 44}; }

}  // namespace skedlark::gui
