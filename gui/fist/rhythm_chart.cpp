#include "gui/fist/rhythm_chart.h"

#include <QChart>
#include <algorithm>
#include <cmath>

#include "gui/fist/chart_look.h"

namespace skedlark::gui {

RhythmChart::RhythmChart(QWidget* parent)
    : QChartView(parent),
      speed_(new QLineSeries(this)),
      uneven_(new QLineSeries(this)),
      times_(new QValueAxis(this)),
      wpm_(new QValueAxis(this)),
      percent_(new QValueAxis(this)) {
    setAccessibleName(tr("Speed and unevenness over time"));
    prepare_chart(*this);
    chart()->addSeries(speed_);
    chart()->addSeries(uneven_);
    chart()->addAxis(times_, Qt::AlignBottom);
    chart()->addAxis(wpm_, Qt::AlignLeft);
    chart()->addAxis(percent_, Qt::AlignRight);
    speed_->attachAxis(times_);
    speed_->attachAxis(wpm_);
    uneven_->attachAxis(times_);
    uneven_->attachAxis(percent_);
    times_->setLabelFormat("%.0f");
    wpm_->setLabelFormat("%.0f");
    percent_->setLabelFormat("%.0f");
    wpm_->setTickCount(4);
    percent_->setTickCount(4);
    percent_->setGridLineVisible(false);
    show_line({});
}

void RhythmChart::restyle(const Theme& theme) {
    style_chart(*this, theme);
    style_axis(*times_, theme, tr("seconds"));
    style_axis(*wpm_, theme, tr("wpm (full line)"));
    style_axis(*percent_, theme, tr("uneven, % (dashed)"));
    speed_->setPen(QPen(theme.ink(), 2.0));
    uneven_->setPen(QPen(theme.ink(Theme::kFaint), 1.5, Qt::DashLine));
}

void RhythmChart::show_line(const std::vector<fist::RhythmPoint>& line) {
    QList<QPointF> speed;
    QList<QPointF> uneven;
    double slowest = 1e9, fastest = 0.0, most = 0.0;
    for (const fist::RhythmPoint& point : line) {
        speed << QPointF(point.at_s, point.speed_wpm);
        uneven << QPointF(point.at_s, 100.0 * point.unevenness);
        slowest = std::min(slowest, point.speed_wpm);
        fastest = std::max(fastest, point.speed_wpm);
        most = std::max(most, 100.0 * point.unevenness);
    }
    speed_->replace(speed);
    uneven_->replace(uneven);
    const bool any = !line.empty();
    times_->setRange(any ? std::floor(line.front().at_s) : 0.0,
                     any ? std::ceil(line.back().at_s) + 1.0 : 60.0);
    wpm_->setRange(any ? std::floor(0.9 * slowest) : 0.0, any ? std::ceil(1.1 * fastest) : 30.0);
    percent_->setRange(0.0, std::max(15.0, 5.0 * std::ceil(most / 5.0)));
}

}  // namespace skedlark::gui
