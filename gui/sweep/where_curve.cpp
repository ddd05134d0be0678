#include "gui/sweep/where_curve.h"

#include <QAreaSeries>
#include <QChart>
#include <QFontMetrics>
#include <QGraphicsLayout>
#include <QLineSeries>
#include <QResizeEvent>
#include <QValueAxis>
#include <algorithm>

namespace skedlark::gui {

namespace {
constexpr double kLetterApart = 5.0;  // of a letter's width
}

WhereCurve::WhereCurve(QWidget* parent)
    : QChartView(parent),
      line_(new QLineSeries(this)),
      foot_(new QLineSeries(this)),
      area_(new QAreaSeries(line_, foot_)),
      along_(new QValueAxis),
      up_(new QValueAxis) {
    setAccessibleName(tr("Where the wanted station can be, by division"));
    setFrameShape(QFrame::NoFrame);
    setFocusPolicy(Qt::NoFocus);
    setRenderHint(QPainter::Antialiasing);
    chart()->legend()->hide();
    chart()->setBackgroundRoundness(0);
    chart()->setMargins({});
    chart()->layout()->setContentsMargins(0, 0, 0, 0);
    chart()->setAnimationOptions(QChart::NoAnimation);
    chart()->addSeries(area_);
    chart()->addAxis(along_, Qt::AlignBottom);
    chart()->addAxis(up_, Qt::AlignLeft);
    area_->attachAxis(along_);
    area_->attachAxis(up_);
    up_->setTickCount(2);
    up_->setLabelsVisible(false);  // the page says the chances in words
    along_->setTickType(QValueAxis::TicksDynamic);
    set_axis(DivAxis());
}

void WhereCurve::restyle(const Theme& theme, int left_px) {
    left_px_ = left_px;
    setBackgroundBrush(theme.paper());
    chart()->setBackgroundBrush(theme.paper());
    chart()->setFont(theme.body());
    QPen pen(theme.ink());
    pen.setWidthF(1.5);
    area_->setPen(pen);
    area_->setBrush(theme.ink(Theme::kRule));
    for (QValueAxis* axis : {along_, up_}) {
        axis->setLabelsFont(theme.body());
        axis->setLabelsBrush(theme.ink());
        axis->setLinePen(QPen(theme.ink(Theme::kFaint)));
        axis->setGridLinePen(QPen(theme.ink(Theme::kRule)));
    }
    setFont(theme.body());
    setMinimumHeight(5 * QFontMetrics(theme.body()).height());
    lay_out();
}

void WhereCurve::set_axis(const DivAxis& axis) {
    axis_ = axis;
    map_.reset();  // the next one is drawn for this axis
    along_->setRange(axis.low_div(), axis.high_div());
    lay_out();
}

void WhereCurve::set_map(const std::shared_ptr<const MapShown>& map) {
    if (map == map_) return;
    map_ = map;
    QList<QPointF> points;
    QList<QPointF> foot;
    double most = 1e-6;
    if (map) {
        for (std::size_t n = 0; n < map->div.size(); ++n) {
            const double each = 100.0 * map->chance_per_div[n];
            points.append({map->div[n], each});
            foot.append({map->div[n], 0.0});
            // As tall as what is shown, not as what stands beside it.
            if (map->div[n] >= axis_.low_div() && map->div[n] <= axis_.high_div())
                most = std::max(most, each);
        }
    }
    line_->replace(points);
    foot_->replace(foot);
    up_->setRange(0.0, most);
    setAccessibleDescription(map ? tr("Likeliest at %1").arg(map->place.likeliest_div, 0, 'f', 2)
                                 : tr("No map"));
}

QRectF WhereCurve::plot_area() const { return chart()->plotArea(); }

void WhereCurve::resizeEvent(QResizeEvent* event) {
    QChartView::resizeEvent(event);
    lay_out();
}

// The plot stands exactly under the picture.
void WhereCurve::lay_out() {
    const QFontMetrics metrics(font());
    const double below = metrics.height() * 2.0;
    const double above = metrics.height() * 0.5;
    const QRectF plot(left_px_, above, std::max(10, width() - left_px_ - 1),
                      std::max(10.0, height() - below - above));
    chart()->setPlotArea(plot);
    const double least_px = kLetterApart * metrics.averageCharWidth() * 2.0;
    const auto divs = axis_.lettered(plot.width(), least_px);
    if (divs.size() < 2) return;
    const double step = divs[1] - divs[0];
    along_->setTickAnchor(divs[0]);
    along_->setTickInterval(step);
    along_->setLabelFormat(step >= 1.0 ? "%.0f" : step >= 0.1 ? "%.1f" : "%.2f");
}

}  // namespace skedlark::gui
