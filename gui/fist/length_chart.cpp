#include "gui/fist/length_chart.h"

#include <QChart>
#include <QLegend>
#include <algorithm>

#include "gui/fist/chart_look.h"

namespace skedlark::gui {

LengthChart::LengthChart(const QString& name, std::vector<double> standard_units,
                         double longest_units, QWidget* parent)
    : QChartView(parent),
      name_(name),
      standard_units_(std::move(standard_units)),
      upper_(new QLineSeries(this)),
      lower_(new QLineSeries(this)),
      area_(new QAreaSeries(upper_, lower_)),
      units_(new QValueAxis(this)),
      counts_(new QValueAxis(this)) {
    setAccessibleName(name);
    prepare_chart(*this);
    chart()->addSeries(area_);
    chart()->addAxis(units_, Qt::AlignBottom);
    chart()->addAxis(counts_, Qt::AlignLeft);
    area_->attachAxis(units_);
    area_->attachAxis(counts_);
    for (std::size_t i = 0; i < standard_units_.size(); ++i) {
        standard_.push_back(new QLineSeries(this));
        chart()->addSeries(standard_.back());
        standard_.back()->attachAxis(units_);
        standard_.back()->attachAxis(counts_);
    }
    units_->setRange(0.0, longest_units);
    units_->setTickType(QValueAxis::TicksDynamic);
    units_->setTickInterval(1.0);
    units_->setLabelFormat("%.0f");
    counts_->setLabelFormat("%.0f");
    counts_->setTickCount(3);
    show_bins({});
}

void LengthChart::restyle(const Theme& theme) {
    style_chart(*this, theme);
    style_axis(*units_, theme, name_);
    style_axis(*counts_, theme, "");
    units_->setGridLineVisible(false);
    area_->setPen(QPen(theme.ink(), 1.5));
    area_->setBrush(theme.ink(Theme::kRule));
    for (QLineSeries* line : standard_) line->setPen(QPen(theme.ink(), 1.5, Qt::DashLine));
}

void LengthChart::show_bins(const fist::LengthBins& bins) {
    QList<QPointF> above;
    QList<QPointF> below;
    for (std::size_t i = 0; i < bins.counts.size(); ++i) {
        const double from = static_cast<double>(i) * fist::kBinUnits;
        const double to = from + fist::kBinUnits;
        above << QPointF(from, bins.counts[i]) << QPointF(to, bins.counts[i]);
        below << QPointF(from, 0.0) << QPointF(to, 0.0);
    }
    upper_->replace(above);
    lower_->replace(below);
    const double most = std::max(4.0, 1.08 * bins.most());
    counts_->setRange(0.0, most);
    show_standard(most);
    setAccessibleDescription(tr("%1 lengths; standard lengths dashed").arg(bins.total()));
}

void LengthChart::show_standard(double most) {
    for (std::size_t i = 0; i < standard_.size(); ++i) {
        standard_[i]->replace(
            QList<QPointF>{{standard_units_[i], 0.0}, {standard_units_[i], most}});
    }
}

}  // namespace skedlark::gui
