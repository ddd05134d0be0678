// The copying drill as it is seen: level and conditions, the copy typed, its marks.
//
// Stage:   gui/practice. In: CopyingDrill, PracticeSound. Out: audio to the sound output.
// Errors:  in the line of words above the copy.
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

#include "gui/common/desk_state.h"
#include "gui/practice/copying_drill.h"
#include "gui/practice/practice_sound.h"

namespace skedlark::gui {

class CopyingView : public QWidget {
    Q_OBJECT

 public:
    CopyingView(DeskState& desk, PracticeLog& log, PracticeSound& sound, QWidget* parent = nullptr);

    void begin();       // another exercise, played
    void go_on();       // plays; ends and marks
    void play_again();  // from the beginning
    void refresh();
    void restyle(const Theme& theme);
    void take_who();  // another person: their level
    [[nodiscard]] CopyingDrill& drill() { return drill_; }

 private:
    [[nodiscard]] CopyingSettings chosen() const;
    void make_fields(QWidget& bar);
    void say(const QString& words) { words_->setText(words); }
    [[nodiscard]] std::size_t columns() const;
    void keep();

    DeskState& desk_;
    PracticeSound& sound_;
    CopyingDrill drill_;
    QComboBox* kind_ = nullptr;
    QDoubleSpinBox* count_ = nullptr;
    QDoubleSpinBox* level_ = nullptr;
    QDoubleSpinBox* characters_ = nullptr;
    QDoubleSpinBox* first_ = nullptr;
    QDoubleSpinBox* noise_ = nullptr;
    QComboBox* fading_ = nullptr;
    QDoubleSpinBox* neighbour_ = nullptr;
    QPushButton* next_ = nullptr;
    QPushButton* again_ = nullptr;
    QPushButton* go_on_ = nullptr;
    QLabel* words_;
    QPlainTextEdit* typed_;
    QPlainTextEdit* result_;
    bool was_playing_ = false;
};

}  // namespace skedlark::gui
