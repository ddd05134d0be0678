// Speed and unevenness through the sending.
//
// Stage:   gui/fist. In: RhythmPoint list. Out: a chart; speed full, unevenness dashed.
// Units:   seconds; words a minute; per cent.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/fist/fist_page_test.cpp
#pragma once

#include <QChartView>
#include <QLineSeries>
#include <QValueAxis>
#include <vector>

#include "dsp/fist/rhythm_line.h"
#include "gui/common/theme.h"

namespace skedlark::gui {

class RhythmChart : public QChartView {
    Q_OBJECT

 public:
    explicit RhythmChart(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void show_line(const std::vector<fist::RhythmPoint>& line);
    [[nodiscard]] const QLineSeries& speed() const { return *speed_; }
    [[nodiscard]] QSize minimumSizeHint() const override { return {250, 110}; }

 private:
    QLineSeries* speed_;
    QLineSeries* uneven_;
    QValueAxis* times_;
    QValueAxis* wpm_;
    QValueAxis* percent_;
};

}  // namespace skedlark::gui
