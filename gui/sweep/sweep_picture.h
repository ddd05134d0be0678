// The picture of a sweep: dial divisions along it, pitch up, one hue; the stations that were met.
//
// Stage:   gui/sweep. In: columns, stations, where the dial should be. Out: paint.
// Units:   divisions along, hertz up, dB over the noise as strength of ink.
// Shape:   an image of columns kept between calls; only the strip of a changed column is repainted.
// Time:    none of its own.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp; its arithmetic in div_axis_test.cpp
#pragma once

#include <QImage>
#include <QWidget>
#include <optional>
#include <vector>

#include "gui/common/theme.h"
#include "gui/sweep/sweep_model.h"

namespace skedlark::gui {

class SweepPicture : public QWidget {
    Q_OBJECT

 public:
    explicit SweepPicture(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    // A new sweep: an empty picture of this stretch.
    void clear(const DivAxis& axis);
    void add(const std::vector<SweptColumn>& columns);
    void set_stations(const std::vector<StationRow>& rows, int chosen);
    void set_dial(std::optional<double> div);
    // Room left of the axis, for the letters of the pitches; the curve keeps the same.
    [[nodiscard]] int left_px() const { return left_px_; }
    [[nodiscard]] QRect picture_rect() const;
    [[nodiscard]] QSize minimumSizeHint() const override;

 protected:
    void paintEvent(QPaintEvent* event) override;

 private:
    void ink_column(const SweptColumn& column);
    void paint_pitches(QPainter& painter, const QRect& picture) const;
    void paint_stations(QPainter& painter, const QRect& picture) const;
    [[nodiscard]] int x_of(double div) const;

    Theme theme_;
    DivAxis axis_;
    QImage image_;
    std::vector<SweptColumn> kept_;  // to ink anew where the theme changes
    std::vector<StationRow> stations_;
    int chosen_ = -1;
    std::optional<double> dial_;
    int left_px_ = 0;
    int mark_px_ = 0;  // room above for the stations' numbers
};

}  // namespace skedlark::gui
