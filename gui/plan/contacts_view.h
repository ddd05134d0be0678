// The contacts due: the time line, the list of them, the card of the chosen one.
//
// Stage:   gui/plan. In: the desk's plan and receiver, the time. Out: the card at hand of the desk.
// Shape:   the soonest contact is chosen until another one is; one that is over gives way to the next.
// Time:    refresh() does something once a second only.
// Threads: the window's.
// Checked: tests/desk/plan/plan_page_test.cpp
#pragma once

#include <QListWidget>
#include <QPushButton>
#include <QScrollArea>
#include <QWidget>

#include "gui/common/desk_state.h"
#include "gui/plan/contact_card.h"
#include "gui/plan/plan_model.h"
#include "gui/plan/time_line.h"

namespace skedlark::gui {

class ContactsView : public QWidget {
    Q_OBJECT

 public:
    explicit ContactsView(DeskState& desk, QWidget* parent = nullptr);

    void refresh();
    void restyle();
    void choose_list() { list_->setFocus(Qt::ShortcutFocusReason); }

 protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

 private:
    void take_plan();
    void take_receiver();
    void update_now();
    void fill_list();
    void choose(int row);
    void show_card();
    void hand_on_card();
    void go_to_sweep();

    DeskState& desk_;
    PlanModel model_;
    std::optional<UtcTime> shown_at_;  // the second shown
    std::string chosen_contact_;       // "" : the soonest one
    UtcTime chosen_start_{};
    bool filling_ = false;

    TimeLineView* line_;
    QListWidget* list_;
    ContactCardView* card_;
    QScrollArea* scroll_;
    QPushButton* sweep_;
};

}  // namespace skedlark::gui
