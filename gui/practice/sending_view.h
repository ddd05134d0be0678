// The sending drill as it is seen: text, key, what was sent so far, the grade.
//
// Stage:   gui/practice. In: SendingDrill, PracticeSound. Out: key presses to both.
// Errors:  in the line of words above the text.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/practice/practice_panel_test.cpp
#pragma once

#include <QComboBox>
#include <QDoubleSpinBox>
#include <QLabel>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QWidget>
#include <functional>

#include "gui/common/desk_state.h"
#include "gui/practice/key_pad.h"
#include "gui/practice/practice_sound.h"
#include "gui/practice/sending_drill.h"

namespace skedlark::gui {

class SendingView : public QWidget {
    Q_OBJECT

 public:
    SendingView(DeskState& desk, PracticeLog& log, PracticeSound& sound, QWidget* parent = nullptr);
    ~SendingView() override;

    // Whoever shows a sending at length, and keeps it in the log instead of this.
    std::function<void(const std::string& text, const std::vector<fist::KeyMark>& marks,
                       double edge_sd_s)>
        on_sent;

    void begin();  // another exercise
    void go_on();  // begins, or ends and grades
    void refresh();
    void restyle(const Theme& theme);
    [[nodiscard]] const SendingDrill& drill() const { return drill_; }
    [[nodiscard]] KeyPad& pad() { return *pad_; }

 private:
    void say(const QString& words) { words_->setText(words); }

    DeskState& desk_;
    PracticeSound& sound_;
    SendingDrill drill_;
    QComboBox* kind_;
    QDoubleSpinBox* count_;
    QPushButton* next_;
    QPushButton* go_on_;
    QLabel* words_;
    QPlainTextEdit* text_;
    KeyPad* pad_;
    QLabel* so_far_;
    QPlainTextEdit* result_;
    int refreshes_ = 0;
};

}  // namespace skedlark::gui
