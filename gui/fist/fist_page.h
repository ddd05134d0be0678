// The Fist page: an attempt measured while it is sent, then graded; its faults to be heard and seen.
//
// Stage:   gui/fist. In: DeskState, the hub's audio through the model's user. Out: audio to be played.
// Shape:   fields and figures above, pictures and tables in tabs beside the faults, the strip below.
// Errors:  in the line of words under the fields.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/fist/fist_page_test.cpp
#pragma once

#include <QLabel>
#include <QPushButton>
#include <QSplitter>
#include <QTabWidget>
#include <functional>

#include "gui/common/page.h"
#include "gui/common/row_table.h"
#include "gui/fist/fist_controls.h"
#include "gui/fist/fist_model.h"
#include "gui/fist/fist_rows.h"
#include "gui/fist/length_chart.h"
#include "gui/fist/rhythm_chart.h"
#include "gui/fist/strip_view.h"
#include "gui/fist/text_panel.h"
#include "gui/fist/trend_panel.h"
#include "gui/practice/practice_panel.h"

namespace skedlark::gui {

class FistPage : public Page {
    Q_OBJECT

 public:
    // log_file: "" for the user's own.
    explicit FistPage(DeskState& desk, QWidget* parent = nullptr, const std::string& log_file = {});
    ~FistPage() override;

    // The sound output, where there is one.
    std::function<void(std::vector<float> audio)> on_play;

    [[nodiscard]] QString title() const override { return tr("Fist"); }
    [[nodiscard]] std::vector<KeyLine> keys() const override;
    void refresh(bool shown) override;
    void restyle() override;
    [[nodiscard]] FistModel& model() { return model_; }
    // Of the tone graded or followed, for the filter of the headphones.
    [[nodiscard]] std::optional<double> pitch_hz() const;

 private:
    void make_layout(const std::string& log_file);
    QWidget* make_tabs(const std::string& log_file);
    QWidget* make_faults();
    void wire();
    void begin_or_end();
    void take_who();
    void show_practice();
    void take_text();
    void show_all();
    void show_figures();
    void show_faults();
    void show_place(int row);
    void play();

    FistModel model_;
    FistControls* controls_;
    QLabel* state_;
    QLabel* figures_;
    QSplitter* halves_;
    QTabWidget* tabs_;
    TextPanel* text_;
    LengthChart* marks_;
    LengthChart* gaps_;
    RhythmChart* rhythm_;
    RowTable* characters_;
    RowTable* score_;
    QLabel* summary_;
    TrendPanel* trend_;
    PracticePanel* practice_;
    QLabel* counts_;
    RowTable* faults_;
    QLabel* advice_;
    QPushButton* play_;
    StripView* strip_;
    std::vector<FaultRow> fault_rows_;
    AttemptPtr shown_attempt_;
    std::uint64_t shown_revision_ = ~std::uint64_t{0};
};

}  // namespace skedlark::gui
