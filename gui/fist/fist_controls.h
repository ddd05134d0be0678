// Who sends, begin and end of an attempt, a sound file to grade, which of several senders.
//
// Stage:   gui/fist. In: the fields. Out: signals; the fields read.
// Errors:  none of its own.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/fist/fist_page_test.cpp
#pragma once

#include <QComboBox>
#include <QLineEdit>
#include <QPushButton>
#include <QSpinBox>

#include "gui/common/theme.h"
#include "gui/fist/attempt.h"
#include "gui/fist/fist_model.h"

namespace skedlark::gui {

class FistControls : public QWidget {
    Q_OBJECT

 public:
    explicit FistControls(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    [[nodiscard]] QString who() const { return who_->text().trimmed(); }
    void set_who(const QString& who) { who_->setText(who); }
    [[nodiscard]] FileToGrade file() const;
    void show_phase(FistPhase phase);
    void show_senders(const std::vector<fist::HeardTone>& tones, double graded_hz);

 signals:
    void who_changed();
    void begin_or_end();
    void file_wanted();
    void sender_wanted(double pitch_hz);

 private:
    void add_pair(const QString& label, QWidget* control);

    QLineEdit* who_;
    QPushButton* begin_;
    QComboBox* sender_;
    QLineEdit* path_;
    QSpinBox* channel_;
    QSpinBox* key_channel_;
    QPushButton* grade_;
};

}  // namespace skedlark::gui
