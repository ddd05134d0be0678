// The Bench page: the tests of a rebuilt receiver, led through step by step.
//
// Stage:   gui/bench. In: DeskState, the hub's audio. Out: results in the log, files.
// Errors:  stand in place: under the step, beside the file.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QPlainTextEdit>
#include <QProcess>
#include <QStackedWidget>
#include <QTabBar>

#include "gui/bench/bench_model.h"
#include "gui/bench/history_panel.h"
#include "gui/bench/peak_view.h"
#include "gui/bench/picture_view.h"
#include "gui/bench/result_panel.h"
#include "gui/bench/setup_panel.h"
#include "gui/bench/step_panel.h"
#include "gui/bench/test_list.h"
#include "gui/common/page.h"

namespace skedlark::gui {

class BenchPage : public Page {
    Q_OBJECT

 public:
    enum View { plot, results, history, guide, setup };

    explicit BenchPage(DeskState& desk, QWidget* parent = nullptr);
    ~BenchPage() override;

    [[nodiscard]] QString title() const override { return tr("Bench"); }
    [[nodiscard]] std::vector<KeyLine> keys() const override;
    void refresh(bool shown) override;
    void restyle() override;
    [[nodiscard]] const BenchModel& model() const { return model_; }
    void show_view(View view) { tabs_->setCurrentIndex(view); }

 private:
    void make_layout();
    void make_keys();
    void wire();
    void record();
    void go_on();
    bool save();  // false: nothing was
    void make_sheet();
    void save_chain();
    void save_receiver();
    void show_guide();
    void show_plot();

    BenchModel model_;
    TestList* list_;
    StepPanel* step_;
    QTabBar* tabs_;
    QStackedWidget* views_;
    QStackedWidget* plots_;
    PictureView* picture_;
    PeakView* peak_;
    ResultPanel* results_;
    HistoryPanel* history_;
    QPlainTextEdit* guide_;
    SetupPanel* setup_;
    QString sheet_program_;  // empty: there is none
    QProcess sheeting_;
    int guided_results_ = -1;
    int shown_results_ = 0;
    bool drawn_result_ = false;
};

}  // namespace skedlark::gui
