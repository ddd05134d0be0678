// How often each length was sent, with the standard's lengths as dashed lines.
//
// Stage:   gui/fist. In: LengthBins. Out: a chart.
// Units:   dots of this hand.
// Errors:  none.
// Threads: the window's.
// Source:  ITU-R M.1677-1: marks of 1 and 3, gaps of 1, 3 and 7.
// Checked: tests/desk/fist/fist_page_test.cpp
#pragma once

#include <QAreaSeries>
#include <QChartView>
#include <QLineSeries>
#include <QValueAxis>
#include <vector>

#include "dsp/fist/length_bins.h"
#include "gui/common/theme.h"

namespace skedlark::gui {

class LengthChart : public QChartView {
    Q_OBJECT

 public:
    LengthChart(const QString& name, std::vector<double> standard_units, double longest_units,
                QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void show_bins(const fist::LengthBins& bins);
    [[nodiscard]] const QLineSeries& outline() const { return *upper_; }
    [[nodiscard]] const std::vector<QLineSeries*>& standard() const { return standard_; }
    [[nodiscard]] QSize sizeHint() const override { return {300, 150}; }
    [[nodiscard]] QSize minimumSizeHint() const override { return {200, 90}; }

 private:
    void show_standard(double most);

    QString name_;
    std::vector<double> standard_units_;
    QLineSeries* upper_;
    QLineSeries* lower_;
    QAreaSeries* area_;
    std::vector<QLineSeries*> standard_;
    QValueAxis* units_;
    QValueAxis* counts_;
};

}  // namespace skedlark::gui
