// The Plan page: contacts due, and the plan and receiver they come from.
//
// Stage:   gui/plan. Wires its views to the desk.
// Errors:  shown in place on the view they belong to.
// Threads: the window's.
// Checked: tests/desk/plan/plan_page_test.cpp
#pragma once

#include <QStackedWidget>
#include <QTabBar>

#include "gui/common/page.h"
#include "gui/plan/chart_view.h"
#include "gui/plan/contacts_view.h"
#include "gui/plan/editor.h"

namespace skedlark::gui {

class PlanPage : public Page {
    Q_OBJECT

 public:
    explicit PlanPage(DeskState& desk, QWidget* parent = nullptr);

    [[nodiscard]] QString title() const override { return tr("Plan"); }
    [[nodiscard]] std::vector<KeyLine> keys() const override;
    void refresh(bool shown) override;
    void restyle() override;

 private:
    enum class View { contacts, plan, receiver, chart };
    [[nodiscard]] View view() const { return static_cast<View>(tabs_->currentIndex()); }
    void show_view(View view);
    void add_view(const QString& name, QWidget* view);
    void add_shortcuts();
    void load_last_files();
    void open_plan(const QString& path);
    void open_receiver(const QString& path);
    void save_plan(const QString& path);
    void save_receiver(const QString& path);

    QTabBar* tabs_;
    QStackedWidget* views_;
    ContactsView* contacts_;
    Editor* plan_;
    Editor* receiver_;
    ChartView* chart_;
};

}  // namespace skedlark::gui
