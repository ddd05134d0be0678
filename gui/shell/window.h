// The window: a bar of pages at the top, the page shown, a foot with input and messages.
//
// Stage:   gui/shell. Wires pages to the hub; computes nothing.
// Threads: the window's.
// Checked: tests/desk/shell/window_test.cpp
#pragma once

#include <QMainWindow>
#include <QStackedWidget>
#include <QTimer>
#include <vector>

#include "gui/common/page.h"

namespace skedlark::gui {

class Window : public QMainWindow {
    Q_OBJECT

 public:
    explicit Window(DeskState& desk);

    void show_page(PageName page);
    [[nodiscard]] Page& page(PageName page) { return *pages_[static_cast<std::size_t>(page)]; }

 private:
    void refresh();
    void restyle();

    DeskState& desk_;
    QStackedWidget* stack_;
    std::vector<Page*> pages_;
    QTimer timer_;
};

}  // namespace skedlark::gui
