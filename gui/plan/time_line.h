// Paints the next day of the plan: contacts, their fallbacks and warm-up, charging.
//
// Stage:   gui/plan. In: a TimeLine. Out: a picture.
// Shape:   each kind has a shape of its own: a contact is full, a fallback an outline, the warm-up
//          hatched, charging a thin bar on a line of its own; labels where there is room.
// Threads: the window's.
// Checked: tests/desk/plan/plan_page_test.cpp
#pragma once

#include <QWidget>
#include <optional>

#include "gui/common/theme.h"
#include "gui/plan/plan_model.h"

namespace skedlark::gui {

class TimeLineView : public QWidget {
    Q_OBJECT

 public:
    explicit TimeLineView(QWidget* parent = nullptr);

    void show_line(TimeLine line, std::optional<std::size_t> chosen);
    void restyle(const Theme& theme);
    [[nodiscard]] QSize sizeHint() const override;

 protected:
    void paintEvent(QPaintEvent* event) override;

 private:
    [[nodiscard]] double x_of(double place) const;
    void paint_ticks(QPainter& painter) const;
    void paint_bar(QPainter& painter, const TimeBar& bar) const;
    void paint_labels(QPainter& painter) const;

    TimeLine line_;
    std::optional<std::size_t> chosen_;
    Theme theme_;
};

}  // namespace skedlark::gui
