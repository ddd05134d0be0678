#include "gui/plan/plan_page.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QShortcut>
#include <QVBoxLayout>

#include "dsp/core/text_file.h"
#include "dsp/dial/receiver_file.h"
#include "dsp/station/plan_reader.h"
#include "dsp/station/plan_writer.h"

namespace skedlark::gui {

namespace {

constexpr std::size_t kMaxBytes = 1U << 20U;

// Beside the settings.
QString draft_path(DeskState& desk, const QString& what) {
    return QFileInfo(desk.settings().path()).dir().filePath(what + "-draft.toml");
}

// A file's remarks are not kept: before they are written over for the first time it is copied.
void keep_remarks(const QString& path) {
    const auto old = read_text_file(path.toStdString(), kMaxBytes);
    if (old && old->find('#') != std::string::npos) QFile::copy(path, path + ".with-remarks");
}

QString said(const Error& error) { return QString::fromStdString(error.message); }

}  // namespace

PlanPage::PlanPage(DeskState& desk, QWidget* parent)
    : Page(desk, parent),
      tabs_(new QTabBar(this)),
      views_(new QStackedWidget(this)),
      contacts_(new ContactsView(desk)),
      plan_(new Editor(plan_schema(), draft_path(desk, "plan"))),
      receiver_(new Editor(receiver_schema(), draft_path(desk, "receiver"))),
      chart_(new ChartView(desk)) {
    tabs_->setObjectName("views");
    tabs_->setAccessibleName(tr("Views of the plan"));
    tabs_->setDrawBase(false);
    tabs_->setExpanding(false);
    add_view(tr("&Contacts"), contacts_);
    add_view(tr("&Edit plan"), plan_);
    add_view(tr("Edit &receiver"), receiver_);
    add_view(tr("C&hart"), chart_);
    auto* all = new QVBoxLayout(this);
    all->addWidget(tabs_);
    all->addWidget(views_, 1);
    connect(tabs_, &QTabBar::currentChanged, views_, &QStackedWidget::setCurrentIndex);
    connect(&plan_->file(), &FileLine::open_wanted, this, &PlanPage::open_plan);
    connect(&plan_->file(), &FileLine::save_wanted, this, &PlanPage::save_plan);
    connect(&receiver_->file(), &FileLine::open_wanted, this, &PlanPage::open_receiver);
    connect(&receiver_->file(), &FileLine::save_wanted, this, &PlanPage::save_receiver);
    add_shortcuts();
    load_last_files();
    restyle();
}

void PlanPage::add_view(const QString& name, QWidget* view) {
    tabs_->addTab(name);
    views_->addWidget(view);
}

void PlanPage::show_view(View view) { tabs_->setCurrentIndex(static_cast<int>(view)); }

void PlanPage::add_shortcuts() {
    const auto add = [this](const QKeySequence& keys, auto does) {
        auto* shortcut =
            new QShortcut(keys, this, nullptr, nullptr, Qt::WidgetWithChildrenShortcut);
        connect(shortcut, &QShortcut::activated, this, does);
    };
    add(QKeySequence::Open, [this] {
        const bool of_receiver = view() >= View::receiver;
        show_view(of_receiver ? View::receiver : View::plan);
        (of_receiver ? receiver_ : plan_)->file().ask();
    });
    add(QKeySequence::Print, [this] {
        if (view() == View::chart) chart_->save_picture();
    });
    add(QKeySequence::Save, [this] {
        if (view() >= View::receiver) {
            save_receiver(receiver_->file().path());
        } else {
            save_plan(plan_->file().path());
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
    plan_->file().set_path(path);
    const Status status = desk().load_plan(path);
    const auto text = read_text_file(path.toStdString(), kMaxBytes);
    // What is wrong in it can be mended in the form.
    const bool read = text && plan_->load(*text, path);
    if (!status) {
        plan_->file().set_problem(said(status.error()));
        desk().say(said(status.error()));
    } else if (read) {
        show_view(View::contacts);
        contacts_->choose_list();
    }
}

void PlanPage::open_receiver(const QString& path) {
    receiver_->file().set_path(path);
    const Status status = desk().load_receiver(path);
    const auto text = read_text_file(path.toStdString(), kMaxBytes);
    if (text) receiver_->load(*text, path);
    if (status) return;
    receiver_->file().set_problem(said(status.error()));
    desk().say(said(status.error()));
}

void PlanPage::save_plan(const QString& path) {
    const std::string text = plan_->text();
    if (const auto plan = station::read_plan_text(text, path.toStdString()); !plan) {
        plan_->file().set_problem(tr("not saved: %1").arg(said(plan.error())));
        return;
    }
    keep_remarks(path);
    auto saved = station::save_plan_text(path.toStdString(), text);
    if (!saved) {
        plan_->file().set_problem(tr("not saved: %1").arg(said(saved.error())));
        return;
    }
    plan_->set_saved();
    desk().settings().set("station/plan", path);
    desk().set_plan(*std::move(saved));
}

void PlanPage::save_receiver(const QString& path) {
    const std::string text = receiver_->text();
    auto receiver = dial::parse_receiver(text, path.toStdString());
    if (!receiver) {
        receiver_->file().set_problem(tr("not saved: %1").arg(said(receiver.error())));
        return;
    }
    keep_remarks(path);
    if (const Status saved = replace_file(path.toStdString(), text); !saved) {
        receiver_->file().set_problem(tr("not saved: %1").arg(said(saved.error())));
        return;
    }
    receiver_->set_saved();
    desk().set_receiver(*std::move(receiver), path);
}

void PlanPage::refresh(bool) { contacts_->refresh(); }

void PlanPage::restyle() {
    const Theme theme = desk().theme();
    setFont(theme.body());
    contacts_->restyle();
    chart_->restyle();
}

}  // namespace skedlark::gui
