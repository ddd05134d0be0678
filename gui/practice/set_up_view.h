// The set-up drill as it is seen: what is asked, the dial, the copy of the base's message.
//
// Stage:   gui/practice. In: SetUpPractice, PracticeSound, the desk's plan and receiver. Out: turns of
//          the dial, audio to the sound output.
// Errors:  in the line of words above the fields.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/practice/practice_panel_test.cpp
#pragma once

#include <QComboBox>
#include <QDoubleSpinBox>
#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QWidget>

#include "gui/common/desk_state.h"
#include "gui/practice/dial_view.h"
#include "gui/practice/practice_sound.h"
#include "gui/practice/set_up_practice.h"

namespace skedlark::gui {

class SetUpView : public QWidget {
    Q_OBJECT

 public:
    SetUpView(DeskState& desk, PracticeLog& log, PracticeSound& sound, QWidget* parent = nullptr);

    void begin();  // another task
    void go_on();  // marks the settings; says "found"; marks the copy
    void restyle(const Theme& theme);
    [[nodiscard]] SetUpPractice& drill() { return drill_; }

 private:
    void fill_fields();
    void answer();
    void found();
    void mark();
    void show_phase();
    void say(const QString& words) { words_->setText(words); }

    DeskState& desk_;
    PracticeSound& sound_;
    SetUpPractice drill_;
    QDoubleSpinBox* speed_;
    QDoubleSpinBox* noise_;
    QPushButton* next_;
    QPushButton* go_on_;
    QLabel* task_;
    QWidget* fields_;
    QComboBox* band_;
    QLineEdit* division_;
    QComboBox* crystal_;
    QComboBox* position_;
    QLabel* words_;
    DialView* dial_;
    QPlainTextEdit* typed_;
    QPlainTextEdit* result_;
};

}  // namespace skedlark::gui
