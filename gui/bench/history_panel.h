// Earlier results of this receiver and test, and what has changed since the one chosen.
//
// Stage:   gui/bench. In: the model. Out: which entry is to be compared with.
// Errors:  those of the log, in place.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QLabel>
#include <QListWidget>

#include "gui/bench/bench_model.h"
#include "gui/common/row_table.h"

namespace skedlark::gui {

class HistoryPanel : public QWidget {
    Q_OBJECT

 public:
    explicit HistoryPanel(QWidget* parent = nullptr);
    void restyle(const Theme& theme);
    void show_model(const BenchModel& model);

 signals:
    void compare_wanted(qint64 id);

 private:
    QLabel* words_;
    QListWidget* entries_;
    RowTable* table_;
    std::vector<qint64> shown_;
};

}  // namespace skedlark::gui
