// The step at hand: what to connect and set, the caution, the fields, the keys that go on and record.
//
// Stage:   gui/bench. In: the model. Out: what the person wants.
// Errors:  the model's sentence stands in place, with a mark before it.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QComboBox>
#include <QLabel>
#include <QProgressBar>
#include <QPushButton>

#include "gui/bench/bench_model.h"
#include "gui/bench/test_fields.h"

namespace skedlark::gui {

class StepPanel : public QWidget {
    Q_OBJECT

 public:
    explicit StepPanel(QWidget* parent = nullptr);
    void restyle(const Theme& theme);
    void show_model(const BenchModel& model);

 signals:
    void back_wanted();
    void next_wanted();
    void step_wanted(int step);
    void record_wanted();
    void edited(const QString& key, const QString& text);

 private:
    void show_steps(const BenchRun& run);

    QLabel* words_;
    QLabel* caution_;
    TestFields* fields_;
    QPushButton* back_;
    QComboBox* steps_;
    QPushButton* next_;
    QPushButton* record_;
    QProgressBar* progress_;
    QLabel* how_;
    QLabel* problem_;
};

}  // namespace skedlark::gui
