// Practice: the three drills, and how they sound.
//
// Stage:   gui/practice. In: DeskState, who practises. Out: exercises in the log; a sending to whoever
//          shows it at length.
// Shape:   one drill at a time; while the panel is not shown it is silent and the output is given back.
// Errors:  in the drills' lines of words; of the output in the line below.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/practice/practice_panel_test.cpp
#pragma once

#include <QDoubleSpinBox>
#include <QLabel>
#include <QTabWidget>
#include <QWidget>
#include <memory>

#include "gui/common/page.h"
#include "gui/practice/copying_view.h"
#include "gui/practice/sending_view.h"
#include "gui/practice/set_up_view.h"

namespace skedlark::gui {

class PracticePanel : public QWidget {
    Q_OBJECT

 public:
    // sound: null for the sound card. log_file: "" for the user's own.
    explicit PracticePanel(DeskState& desk, QWidget* parent = nullptr,
                           std::unique_ptr<PracticeSound> sound = nullptr,
                           const std::string& log_file = {});
    ~PracticePanel() override;

    void set_who(const std::string& who);
    void refresh();  // while shown
    void restyle(const Theme& theme);
    [[nodiscard]] static std::vector<KeyLine> keys();
    [[nodiscard]] SendingView& sending() { return *sending_; }
    [[nodiscard]] CopyingView& copying() { return *copying_; }
    [[nodiscard]] SetUpView& setting_up() { return *set_up_; }

 protected:
    void hideEvent(QHideEvent* event) override;
    void showEvent(QShowEvent* event) override;

 private:
    void make_sound_row(QWidget& bar);
    void make_keys();
    void take_sound();
    void say_sound();
    QWidget* in_area(QWidget* view);

    DeskState& desk_;
    PracticeLog log_;
    std::unique_ptr<PracticeSound> sound_;
    QTabWidget* drills_;
    SendingView* sending_;
    CopyingView* copying_;
    SetUpView* set_up_;
    QDoubleSpinBox* level_ = nullptr;
    QDoubleSpinBox* pitch_ = nullptr;
    QLabel* sound_words_ = nullptr;
    int refreshes_ = 0;
};

}  // namespace skedlark::gui
