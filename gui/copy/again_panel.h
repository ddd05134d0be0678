// A marked stretch: play it, copy it again with other settings, take that over or not.
//
// Stage:   gui/copy. In: the stretch that is marked, its audio and its first reading. Out: the text
//          taken over; audio to be played.
// Errors:  in place, in the line of the result.
// Threads: the window's; the copying runs on a thread of its own (CopyAgain).
// Source:  none
// Checked: tests/desk/copy/copy_page_test.cpp
#pragma once

#include <QLabel>
#include <QPushButton>
#include <functional>

#include "gui/copy/copy_again.h"
#include "gui/copy/listen_panel.h"

namespace skedlark::gui {

class AgainPanel : public QWidget {
    Q_OBJECT

 public:
    explicit AgainPanel(Settings& settings, QWidget* parent = nullptr);

    std::function<std::vector<float>(const Stretch&)> audio_of;
    // Empty: nothing can be played here.
    std::function<void(std::vector<float> audio)> on_play;

    // first: how it was read; pitch_hz of the tone it is of, 0 where that is not known.
    void set_marked(std::optional<Stretch> stretch, const QString& first, double pitch_hz);
    void refresh();
    void read_again();
    void play();

 signals:
    void taken_over(skedlark::gui::Stretch stretch, const QString& text);
    void own_sending(skedlark::gui::Stretch stretch);

 private:
    void take_over();
    void show_state();

    QLabel* what_;
    QLabel* result_;
    ListenPanel* settings_;
    QPushButton* read_;
    QPushButton* play_;
    QPushButton* take_;
    QPushButton* own_;
    std::optional<Stretch> marked_;
    Stretch reading_;  // of the result
    QString text_;
    QString first_;
    CopyAgain again_;
};

}  // namespace skedlark::gui
