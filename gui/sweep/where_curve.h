// The where-is-it curve: the chance of the wanted station by division, under the picture of the sweep.
//
// Stage:   gui/sweep. In: the map, the axis of the picture. Out: an area on the same axis.
// Units:   divisions along; chance of a division up, to the most that is shown.
// Shape:   drawn anew only where the map or the axis changed.
// Time:    none.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QChartView>
#include <memory>

#include "gui/common/theme.h"
#include "gui/sweep/sweep_user.h"

class QAreaSeries;
class QLineSeries;
class QValueAxis;

namespace skedlark::gui {

class WhereCurve : public QChartView {
    Q_OBJECT

 public:
    explicit WhereCurve(QWidget* parent = nullptr);

    void restyle(const Theme& theme, int left_px);
    void set_axis(const DivAxis& axis);
    void set_map(const std::shared_ptr<const MapShown>& map);
    [[nodiscard]] QRectF plot_area() const;

 protected:
    void resizeEvent(QResizeEvent* event) override;

 private:
    void lay_out();

    QLineSeries* line_;
    QLineSeries* foot_;
    QAreaSeries* area_;
    QValueAxis* along_;
    QValueAxis* up_;
    DivAxis axis_;
    std::shared_ptr<const MapShown> map_;
    int left_px_ = 0;
};

}  // namespace skedlark::gui
