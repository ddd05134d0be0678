// What is told about the wanted tone: pitch, width, text, speed, how many tones. The same fields serve
// to copy a stretch again.
//
// Stage:   gui/copy. In: the settings. Out: CopySettings; changes go into the settings.
// Units:   in the labels.
// Errors:  fields hold their limits.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/copy/copy_page_test.cpp
#pragma once

#include <QCheckBox>
#include <QComboBox>
#include <QDoubleSpinBox>
#include <QFormLayout>
#include <QSpinBox>
#include <QWidget>
#include <optional>

#include "gui/common/settings.h"
#include "gui/copy/copy_user.h"

namespace skedlark::gui {

class ListenPanel : public QWidget {
    Q_OBJECT

 public:
    // Kept: changes go into the settings, and all fields are there. Else only those of one stretch.
    enum class Use { kept, stretch };
    ListenPanel(Settings& settings, Use use, QWidget* parent = nullptr);

    [[nodiscard]] CopySettings chosen() const;
    // As told by what is known of the text; empty: not told.
    [[nodiscard]] std::optional<bool> in_fives() const;
    [[nodiscard]] bool in_groups() const { return in_groups_->isChecked(); }
    void set_pitch(double pitch_hz);  // 0: anywhere
    void set_speed(double speed_wpm);
    [[nodiscard]] QFormLayout& form() { return *form_; }

 signals:
    void changed();

 private:
    void keep();

    Settings& settings_;
    Use use_;
    QFormLayout* form_;
    QDoubleSpinBox* pitch_;
    QDoubleSpinBox* search_;
    QComboBox* text_;
    QDoubleSpinBox* speed_;
    QSpinBox* tones_;
    QDoubleSpinBox* picture_;
    QCheckBox* in_groups_;
};

}  // namespace skedlark::gui
