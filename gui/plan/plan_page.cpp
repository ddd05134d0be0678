#include "gui/plan/plan_page.h"

#include <QShortcut>
#include <QVBoxLayout>

#include "dsp/core/text_file.h"
#include "dsp/dial/receiver_file.h"
#include "dsp/station/plan_writer.h"

namespace skedlark::gui {

PlanPage::PlanPage(DeskState& desk, QWidget* parent)
    : Page(desk, parent),
      tabs_(new QTabBar(this)),
      views_(new QStackedWidget(this)),
      contacts_(new ContactsView(desk)),
      plan_file_(new FileLine(tr("plan"))),
      receiver_file_(new FileLine(tr("receiver"))),
      chart_(new ChartView(desk)) {
    tabs_->setObjectName("views");
    tabs_->setAccessibleName(tr("Views of the plan"));
    tabs_->setDrawBase(false);
    tabs_->setExpanding(false);
    add_view(tr("&Contacts"), contacts_);
    add_view(tr("&Edit plan"), plan_file_);
    add_view(tr("Edit &receiver"), receiver_file_);
    add_view(tr("C&hart"), chart_);
    auto* all = new QVBoxLayout(this);
    all->addWidget(tabs_);
    all->addWidget(views_, 1);
    connect(tabs_, &QTabBar::currentChanged, views_, &QStackedWidget::setCurrentIndex);
    connect(plan_file_, &FileLine::open_wanted, this, &PlanPage::open_plan);
    connect(plan_file_, &FileLine::save_wanted, this, &PlanPage::save_plan);
    connect(receiver_file_, &FileLine::open_wanted, this, &PlanPage::open_receiver);
    connect(receiver_file_, &FileLine::save_wanted, this, &PlanPage::save_receiver);
    add_shortcuts();
    load_last_files();
    restyle();
}

void PlanPage::add_view(const QString& name, QWidget* view) {
    tabs_->addTab(name);
    views_->addWidget(view);
}

void PlanPage::show_view(int view) { tabs_->setCurrentIndex(view); }

void PlanPage::add_shortcuts() {
    const auto add = [this](const QKeySequence& keys, auto does) {
        auto* shortcut =
            new QShortcut(keys, this, nullptr, nullptr, Qt::WidgetWithChildrenShortcut);
        connect(shortcut, &QShortcut::activated, this, does);
    };
    add(QKeySequence::Open, [this] {
        const bool of_receiver = tabs_->currentIndex() >= receiver;
        show_view(of_receiver ? receiver : plan);
        (of_receiver ? receiver_file_ : plan_file_)->ask();
    });
    add(QKeySequence::Print, [this] {
        if (tabs_->currentIndex() == chart) chart_->save_picture();
    });
    add(QKeySequence::Save, [this] {
        if (tabs_->currentIndex() >= receiver) {
            save_receiver(receiver_file_->path());
        } else {
            save_plan(plan_file_->path());
        }
    });
}

std::vector<KeyLine> PlanPage::keys() const {
    return {{tr("Up, Down"), tr("another contact")},
            {tr("Enter, Alt+S"), tr("to the sweep for the chosen contact")},
            {tr("Alt+C, Alt+E, Alt+R, Alt+H"), tr("contacts, edit plan, edit receiver, chart")},
            {tr("Ctrl+P"), tr("on the chart: save its picture")},
            {tr("Ctrl+O"), tr("open a plan; on the receiver's views a receiver")},
            {tr("Ctrl+S"), tr("save the plan, or the receiver")}};
}

void PlanPage::load_last_files() {
    const QString plan_path = desk().settings().text("station/plan");
    const QString receiver_path = desk().settings().text("station/receiver");
    if (!receiver_path.isEmpty() && !desk().receiver()) open_receiver(receiver_path);
    if (!plan_path.isEmpty() && !desk().plan()) open_plan(plan_path);
}

void PlanPage::open_plan(const QString& path) {
    plan_file_->set_path(path);
    const Status status = desk().load_plan(path);
    plan_file_->set_problem(status ? QString() : QString::fromStdString(status.error().message));
    if (!status) {
        desk().say(QString::fromStdString(status.error().message));
        return;
    }
    show_view(contacts);
    contacts_->choose_list();
}

void PlanPage::open_receiver(const QString& path) {
    receiver_file_->set_path(path);
    const Status status = desk().load_receiver(path);
    receiver_file_->set_problem(status ? QString()
                                       : QString::fromStdString(status.error().message));
    if (!status) desk().say(QString::fromStdString(status.error().message));
}

void PlanPage::save_plan(const QString& path) {
    if (!desk().plan()) return;
    auto saved = station::save_plan_text(path.toStdString(), station::plan_toml(*desk().plan()));
    plan_file_->set_problem(saved ? QString() : QString::fromStdString(saved.error().message));
}

void PlanPage::save_receiver(const QString& path) {
    if (!desk().receiver()) return;
    const Status saved = replace_file(path.toStdString(), dial::receiver_toml(*desk().receiver()));
    receiver_file_->set_problem(saved ? QString() : QString::fromStdString(saved.error().message));
}

void PlanPage::refresh(bool) { contacts_->refresh(); }

void PlanPage::restyle() {
    const Theme theme = desk().theme();
    setFont(theme.body());
    contacts_->restyle();
    chart_->restyle();
}

}  // namespace skedlark::gui
