// The tests of the bench, with how each stands.
//
// Stage:   gui/bench. In: the model. Out: which test is wanted.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QListWidget>

#include "gui/bench/bench_model.h"
#include "gui/common/theme.h"

namespace skedlark::gui {

class TestList : public QListWidget {
    Q_OBJECT

 public:
    explicit TestList(QWidget* parent = nullptr);
    void restyle(const Theme& theme);
    void show_model(const BenchModel& model);
    [[nodiscard]] QSize sizeHint() const override;

 signals:
    void chosen(const QString& test);
};

}  // namespace skedlark::gui
