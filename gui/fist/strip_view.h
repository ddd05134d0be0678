// The keying about a place, painted: elements as bars, characters under them, the faulty one by shape.
//
// Stage:   gui/fist. In: KeyingStrip. Out: a picture.
// Shape:   a faulty element is hollow between two brackets; a faulty gap has the brackets alone.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/fist/fist_page_test.cpp
#pragma once

#include <QWidget>

#include "gui/common/theme.h"
#include "gui/fist/keying_strip.h"

namespace skedlark::gui {

class StripView : public QWidget {
    Q_OBJECT

 public:
    explicit StripView(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void show_strip(const KeyingStrip& strip);
    [[nodiscard]] const KeyingStrip& strip() const { return strip_; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

 protected:
    void paintEvent(QPaintEvent* event) override;

 private:
    [[nodiscard]] double x_of(double at_s) const;
    void paint_times(QPainter& painter) const;
    void paint_marks(QPainter& painter) const;
    void paint_place(QPainter& painter) const;

    Theme theme_;
    KeyingStrip strip_;
};

}  // namespace skedlark::gui
