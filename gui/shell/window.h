// The window: the names of the pages at the top, the page shown, the input at the foot.
//
// Stage:   gui/shell. Wires pages to the hub and to each other; computes nothing.
// Time:    the shown page is refreshed kRefreshMs apart, the others once a second.
// Threads: the window's.
// Checked: tests/desk/shell/window_test.cpp
#pragma once

#include <QLabel>
#include <QMainWindow>
#include <QStackedWidget>
#include <QTimer>
#include <QToolButton>
#include <vector>

#include "gui/common/page.h"
#include "gui/listen/ears.h"
#include "gui/shell/input_bar.h"

namespace skedlark::gui {

class CopyPage;
class FistPage;
class SweepPage;

class Window : public QMainWindow {
    Q_OBJECT

 public:
    static constexpr int kRefreshMs = 33;

    explicit Window(DeskState& desk);
    ~Window() override;

    void show_page(PageName page);
    void show_bench();  // the last of the pages
    void show_keys();
    void show_settings();
    [[nodiscard]] InputBar& input() { return *input_; }
    [[nodiscard]] Page& page(PageName page) { return *pages_[static_cast<std::size_t>(page)]; }

 private:
    QToolButton* add_name(const QString& name, const QString& keys);
    void show_widget(QWidget* widget, QToolButton* name);
    void add_keys();
    void wire_ears();
    [[nodiscard]] std::vector<KeyLine> own_keys() const;
    void refresh();
    void restyle();

    DeskState& desk_;
    std::shared_ptr<Ears> ears_;
    QWidget* names_;
    QStackedWidget* stack_;
    InputBar* input_;
    QLabel* clock_;
    std::vector<Page*> pages_;
    CopyPage* copy_ = nullptr;
    FistPage* fist_ = nullptr;
    std::vector<QToolButton*> page_names_;
    QWidget* keys_page_ = nullptr;
    QWidget* settings_page_ = nullptr;
    QToolButton* keys_name_ = nullptr;
    QToolButton* settings_name_ = nullptr;
    QTimer timer_;
    int ticks_ = 0;
};

}  // namespace skedlark::gui
