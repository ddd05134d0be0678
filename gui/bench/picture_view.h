// A picture of the bench painted: curves, dots, lines of a spectrum, on axes with their names.
//
// Stage:   gui/bench. In: bench::Picture. Out: a chart in the theme.
// Shape:   redrawn where the picture changed, at most kMostASecond times a second.
// Errors:  an empty picture is an empty chart that says so.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QChartView>
#include <QElapsedTimer>

#include "dsp/bench/picture.h"
#include "gui/common/theme.h"

namespace skedlark::gui {

class PictureView : public QChartView {
    Q_OBJECT

 public:
    static constexpr int kMostASecond = 4;

    explicit PictureView(QWidget* parent = nullptr);
    void restyle(const Theme& theme);
    // True where it is time for another look.
    [[nodiscard]] bool is_due() const;
    void show_picture(const bench::Picture& picture, const QString& what);
    [[nodiscard]] int points() const;  // drawn now
    [[nodiscard]] QSize sizeHint() const override { return {400, 160}; }
    [[nodiscard]] QSize minimumSizeHint() const override { return {200, 90}; }

 private:
    void draw();

    Theme theme_;
    bench::Picture picture_;
    QString what_;
    QElapsedTimer drawn_;
};

}  // namespace skedlark::gui
