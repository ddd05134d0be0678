// The foot of the window: what is listened to, how loud it is, whether it is recorded, the headphones.
//
// Stage:   gui/shell. In: HubState, the user's choice. Out: AudioHub::open() and stop(), settings.
// Errors:  stand in the line of words at its right, never in a dialog.
// Threads: the window's; the list of devices is asked for on a thread of its own.
// Checked: tests/desk/shell/window_test.cpp
#pragma once

#include <QCheckBox>
#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QWidget>

#include "gui/common/desk_state.h"
#include "gui/listen/ears.h"
#include "gui/shell/level_bar.h"

namespace skedlark::gui {

class InputBar : public QWidget {
    Q_OBJECT

 public:
    InputBar(DeskState& desk, Ears& ears, QWidget* parent = nullptr);

    void refresh();
    void restyle();
    // As the settings say.
    void listen();
    void stop();
    void toggle();
    void choose_file(const QString& path);
    void choose_device(const QString& device);  // "": the system's own choice
    void look_for_devices();
    void set_ears(bool on);
    void say(const QString& text);

 signals:
    void begun();  // listening was asked for; the page takes the keys

 private:
    void make_rows();
    void take_choice();
    void configure_ears();
    [[nodiscard]] QString words_of(const HubState& state) const;

    DeskState& desk_;
    Ears& ears_;
    QComboBox* from_;
    QLineEdit* file_;
    QComboBox* pace_;
    QPushButton* listen_;
    LevelBar* level_;
    QCheckBox* record_;
    QCheckBox* ears_on_;
    QLabel* words_;
    QLabel* said_;
    bool filling_ = false;
    HubPhase shown_ = HubPhase::idle;
};

}  // namespace skedlark::gui
