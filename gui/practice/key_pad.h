// Where the space bar is the key: it shows that it is listened to, and when it is down.
//
// Stage:   gui/practice. In: key events, the mouse. Out: presses with their times.
// Units:   seconds of the steady clock.
// Shape:   held keys that repeat count once; leaving it lets the key go.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/practice/practice_panel_test.cpp
#pragma once

#include <QWidget>
#include <functional>

#include "dsp/fist/key_clock.h"
#include "gui/common/theme.h"

namespace skedlark::gui {

// Steady clock.
[[nodiscard]] double steady_now_s();

class KeyPad : public QWidget {
    Q_OBJECT

 public:
    explicit KeyPad(QWidget* parent = nullptr);

    // The clock of a test.
    std::function<double()> now_s = steady_now_s;
    void restyle(const Theme& theme);
    void set_words(const QString& words);
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override { return sizeHint(); }

 signals:
    void keyed(bool down, double at_s);

 protected:
    void keyPressEvent(QKeyEvent* event) override;
    void keyReleaseEvent(QKeyEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void focusInEvent(QFocusEvent* event) override;
    void focusOutEvent(QFocusEvent* event) override;
    void paintEvent(QPaintEvent* event) override;

 private:
    void go(bool down, quint64 stamp_ms);

    Theme theme_;
    QString words_;
    bool down_ = false;
    fist::KeyClock clock_;
};

}  // namespace skedlark::gui
