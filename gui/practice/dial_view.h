// The dial of the simulated receiver: the whole scale, and the neighbourhood of the pointer.
//
// Stage:   gui/practice. In: a division, the ends of the scale. Out: turns.
// Units:   divisions.
// Shape:   wheel and arrows turn it: kTurnDiv a step; ten times as far with Ctrl, a tenth with Shift;
//          PageUp and PageDown a whole division.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/practice/practice_panel_test.cpp
#pragma once

#include <QWidget>

#include "gui/common/theme.h"

namespace skedlark::gui {

class DialView : public QWidget {
    Q_OBJECT

 public:
    static constexpr double kTurnDiv = 0.01;

    explicit DialView(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void set_scale(double from_div, double to_div, const QString& band);
    void set_division(double div);
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return sizeHint(); }

 signals:
    void turned(double by_div);

 protected:
    void keyPressEvent(QKeyEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

 private:
    // A scale between two divisions over a strip of the widget, with the pointer on it.
    void paint_scale(QPainter& painter, const QRectF& strip, double from_div, double to_div,
                     double every_div, double figures_every_div) const;

    Theme theme_;
    QString band_;
    double from_div_ = 0.0;
    double to_div_ = 100.0;
    double div_ = 0.0;
};

}  // namespace skedlark::gui
