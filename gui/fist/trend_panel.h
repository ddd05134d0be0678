// How this person's sending went from week to week: a chosen figure as a line, all weeks as a table.
//
// Stage:   gui/fist. In: WeekOfSending list. Out: chart and table.
// Units:   in the words of the choice.
// Errors:  in the words above the chart.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/fist/fist_page_test.cpp
#pragma once

#include <QChartView>
#include <QComboBox>
#include <QDateTimeAxis>
#include <QLabel>
#include <QLineSeries>
#include <QScatterSeries>
#include <QValueAxis>

#include "gui/common/row_table.h"
#include "gui/fist/trend_lines.h"

namespace skedlark::gui {

class TrendPanel : public QWidget {
    Q_OBJECT

 public:
    explicit TrendPanel(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void show_weeks(const std::vector<log::WeekOfSending>& weeks, const QString& words);
    [[nodiscard]] const QLineSeries& line() const { return *line_; }

 private:
    void show_choice();

    QComboBox* choice_;
    QLabel* words_;
    QChartView* view_;
    QLineSeries* line_;
    QScatterSeries* points_;
    QDateTimeAxis* dates_;
    QValueAxis* values_;
    RowTable* table_;
    Theme theme_;
    std::vector<log::WeekOfSending> weeks_;
    std::vector<TrendChoice> choices_;
};

}  // namespace skedlark::gui
