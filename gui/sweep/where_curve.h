// The where-is-it curve under the picture: the chance to a division that the wanted station is there.
//
// Stage:   gui/sweep. In: SweepModel's curve. Out: a chart whose plot stands under the picture's.
// Units:   divisions; chance to a division, scaled to its highest.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QAreaSeries>
#include <QChartView>
#include <QLineSeries>
#include <QValueAxis>

#include "gui/common/theme.h"
#include "gui/sweep/sweep_model.h"

namespace skedlark::gui {

class WhereCurve : public QChartView {
    Q_OBJECT

 public:
    explicit WhereCurve(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    // Draws anew only where the map or the axis changed.
    void show_model(const SweepModel& model);
    // The picture's plot, and how many divisions are written under it.
    void align(double left, double width, int most_ticks);
    [[nodiscard]] const QLineSeries& line() const { return *upper_; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

 protected:
    void resizeEvent(QResizeEvent* event) override;

 private:
    void place();

    QLineSeries* upper_;
    QLineSeries* lower_;
    QAreaSeries* area_;
    QValueAxis* divisions_;
    QValueAxis* chance_;
    SweepAxis axis_;
    int shown_changes_ = -1;
    double left_ = 0.0;
    double width_ = 100.0;
    int most_ticks_ = 10;
};

}  // namespace skedlark::gui
