// One page of the desk.
//
// Stage:   gui/common. In: a DeskState. Out: a widget with its name, its keys and its refresh.
// Shape:   the shell makes each page once and shows one at a time.
// Time:    refresh() comes up to 30 times a second while the page is shown, once a second while not;
//          it takes the finished snapshots of the page's models and asks for repaints.
// Errors:  shown in place on the page; none is modal.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/shell/window_test.cpp
#pragma once

#include <QString>
#include <QWidget>
#include <vector>

#include "gui/common/desk_state.h"

namespace skedlark::gui {

// A line of the page of keys.
struct KeyLine {
    QString keys;  // "Space"
    QString does;  // "marks a division"
};

class Page : public QWidget {
    Q_OBJECT

 public:
    explicit Page(DeskState& desk, QWidget* parent = nullptr) : QWidget(parent), desk_(desk) {}

    [[nodiscard]] virtual QString title() const = 0;
    [[nodiscard]] virtual std::vector<KeyLine> keys() const = 0;
    virtual void refresh(bool shown) = 0;
    // The theme or the size of type changed.
    virtual void restyle() = 0;

 protected:
    [[nodiscard]] DeskState& desk() { return desk_; }
    [[nodiscard]] const DeskState& desk() const { return desk_; }

 private:
    DeskState& desk_;
};

}  // namespace skedlark::gui
