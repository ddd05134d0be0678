// The picture along the dial, painted: divisions to the right, pitch upwards, ink for what is heard.
//
// Stage:   gui/sweep. In: a DialPicture, stations, where the dial should be. Out: a widget.
// Units:   divisions, hertz; ink from kNoInkDb to kFullInkDb over the noise.
// Shape:   an image of a column to each of DialPicture's, kept and scaled; only new columns are drawn.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QImage>
#include <QWidget>
#include <vector>

#include "gui/common/theme.h"
#include "gui/sweep/sweep_model.h"

namespace skedlark::gui {

class SweepPicture : public QWidget {
    Q_OBJECT

 public:
    static constexpr double kNoInkDb = 2.0;
    static constexpr double kFullInkDb = 22.0;

    explicit SweepPicture(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void show_model(SweepModel& model);
    // Where the plot stands in this widget: the curve below keeps to the same edges.
    [[nodiscard]] QRectF plot() const;
    [[nodiscard]] int most_ticks() const;
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

 protected:
    void paintEvent(QPaintEvent* event) override;

 private:
    void draw_column(SweepModel& model, int index);
    void paint_axes(QPainter& painter, const QRectF& plot, const SweepAxis& axis) const;
    void paint_stations(QPainter& painter, const QRectF& plot, const SweepAxis& axis) const;
    void paint_dial(QPainter& painter, const QRectF& plot, const SweepAxis& axis) const;

    Theme theme_;
    QImage image_;
    std::vector<QRgb> inks_;
    bool redraw_ = true;  // every column
    SweepAxis axis_;
    double low_hz_ = 0.0;
    double high_hz_ = 3000.0;
    std::vector<StationRow> stations_;
    std::optional<std::size_t> chosen_;
    DialNow dial_;
};

// A shape for each kind, some pixels in size about a point.
void paint_kind(QPainter& painter, StationKind kind, const QPointF& at, double size);

}  // namespace skedlark::gui
