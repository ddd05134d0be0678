#include "gui/shell/window.h"

#include <QApplication>
#include <QDateTime>
#include <QHBoxLayout>
#include <QShortcut>
#include <QTimeZone>
#include <QVBoxLayout>

#include "gui/bench/bench_page.h"
#include "gui/copy/copy_page.h"
#include "gui/fist/fist_page.h"
#include "gui/plan/plan_page.h"
#include "gui/shell/keys_page.h"
#include "gui/shell/settings_page.h"
#include "gui/sweep/sweep_page.h"

namespace skedlark::gui {

namespace {
constexpr int kTicksASecond = 1000 / Window::kRefreshMs;
}  // namespace

Window::Window(DeskState& desk)
    : desk_(desk),
      ears_(std::make_shared<Ears>()),
      names_(new QWidget(this)),
      stack_(new QStackedWidget(this)),
      input_(new InputBar(desk, *ears_, this)),
      clock_(new QLabel(this)) {
    setWindowTitle("Skedlark");
    resize(1024, 600);
    auto* top = new QHBoxLayout(names_);
    top->setContentsMargins(8, 4, 8, 0);
    top->setSpacing(4);
    copy_ = new CopyPage(desk);
    auto* sweep = new SweepPage(desk);
    sweep->on_click = [this] { ears_->click(); };
    fist_ = new FistPage(desk);
    pages_ = {new PlanPage(desk), sweep, copy_, fist_, new BenchPage(desk)};
    std::vector<KeysPage::Part> parts{{tr("Everywhere"), own_keys()}};
    for (std::size_t i = 0; i < pages_.size(); ++i) {
        const QString keys = QString("Alt+%1").arg(i + 1);
        page_names_.push_back(add_name(pages_[i]->title(), keys));
        connect(page_names_.back(), &QToolButton::clicked, this,
                [this, i] { show_page(static_cast<PageName>(i)); });
        stack_->addWidget(pages_[i]);
        parts.emplace_back(pages_[i]->title(), pages_[i]->keys());
    }
    top->addStretch();
    clock_->setAccessibleName(tr("UTC"));
    top->addWidget(clock_);
    top->addStretch();
    settings_name_ = add_name(tr("Settings"), "F2");
    keys_name_ = add_name(tr("Keys"), "F1");
    connect(settings_name_, &QToolButton::clicked, this, &Window::show_settings);
    connect(keys_name_, &QToolButton::clicked, this, &Window::show_keys);
    keys_page_ = new KeysPage(parts);
    settings_page_ = new SettingsPage(desk.settings());
    stack_->addWidget(keys_page_);
    stack_->addWidget(settings_page_);

    auto* whole = new QWidget(this);
    auto* rows = new QVBoxLayout(whole);
    rows->setContentsMargins(0, 0, 0, 0);
    rows->setSpacing(0);
    rows->addWidget(names_);
    rows->addWidget(stack_, 1);
    stack_->setMinimumSize(1, 1);  // a page that wants more room scrolls; the foot stays in view
    rows->addWidget(input_);
    setCentralWidget(whole);

    add_keys();
    wire_ears();
    connect(&desk_, &DeskState::page_wanted, this, &Window::show_page);
    connect(input_, &InputBar::begun, this, [this] { stack_->currentWidget()->setFocus(); });
    connect(&desk_.settings(), &Settings::changed, this, [this](const QString& key) {
        if (key.startsWith("look/")) restyle();
    });
    connect(&timer_, &QTimer::timeout, this, &Window::refresh);
    restyle();
    show_page(PageName::plan);
    timer_.start(kRefreshMs);
    QTimer::singleShot(0, input_, &InputBar::look_for_devices);
}

Window::~Window() {
    timer_.stop();
    desk_.hub().stop();
    desk_.hub().leave(ears_);
}

QToolButton* Window::add_name(const QString& name, const QString& keys) {
    auto* button = new QToolButton(names_);
    button->setText(name);
    button->setCheckable(true);
    button->setAccessibleName(tr("%1 page").arg(name));
    button->setToolTip(keys);
    button->setFocusPolicy(Qt::StrongFocus);
    names_->layout()->addWidget(button);
    return button;
}

void Window::show_widget(QWidget* widget, QToolButton* name) {
    stack_->setCurrentWidget(widget);
    for (QToolButton* other : page_names_) other->setChecked(other == name);
    keys_name_->setChecked(keys_name_ == name);
    settings_name_->setChecked(settings_name_ == name);
    widget->setFocus();
}

void Window::show_page(PageName page) {
    show_widget(&this->page(page), page_names_[static_cast<std::size_t>(page)]);
}

void Window::show_bench() { show_widget(pages_.back(), page_names_.back()); }

void Window::show_keys() { show_widget(keys_page_, keys_name_); }

void Window::show_settings() { show_widget(settings_page_, settings_name_); }

std::vector<KeyLine> Window::own_keys() const {
    return {{"Alt+1, Alt+2, Alt+3, Alt+4, Alt+5", tr("Plan, Sweep, Copy, Fist, Bench")},
            {"F1", tr("this page")},
            {"F2", tr("settings")},
            {"Tab, Shift+Tab", tr("the next control, the one before")},
            {"Ctrl+L", tr("listen, or stop")},
            {"Ctrl+F", tr("choose a sound file")},
            {"Ctrl+H", tr("filtered tone in the headphones, on or off")},
            {"Ctrl+D", tr("dark or light")},
            {"Ctrl++, Ctrl+-", tr("larger type, smaller type")},
            {"Ctrl+Q", tr("leave")}};
}

void Window::add_keys() {
    const auto add = [this](const QKeySequence& keys, auto does) {
        connect(new QShortcut(keys, this), &QShortcut::activated, this, does);
    };
    for (std::size_t i = 0; i < pages_.size(); ++i) {
        add(QKeySequence(QString("Alt+%1").arg(i + 1)),
            [this, i] { show_page(static_cast<PageName>(i)); });
    }
    const auto grow = [this](double by) {
        Settings& settings = desk_.settings();
        const double percent = settings.number("look/type_percent") + by;
        if (percent >= 80.0 && percent <= 250.0) settings.set("look/type_percent", percent);
    };
    add(Qt::Key_F1, [this] { show_keys(); });
    add(Qt::Key_F2, [this] { show_settings(); });
    add(Qt::CTRL | Qt::Key_L, [this] { input_->toggle(); });
    add(Qt::CTRL | Qt::Key_F, [this] { input_->choose_file(""); });
    add(Qt::CTRL | Qt::Key_H, [this] { input_->set_ears(!desk_.settings().on("ears/on")); });
    add(Qt::CTRL | Qt::Key_D,
        [this] { desk_.settings().set("look/dark", !desk_.settings().on("look/dark")); });
    add(Qt::CTRL | Qt::Key_Plus, [grow] { grow(10.0); });
    add(Qt::CTRL | Qt::Key_Equal, [grow] { grow(10.0); });
    add(Qt::CTRL | Qt::Key_Minus, [grow] { grow(-10.0); });
    add(Qt::CTRL | Qt::Key_Q, [this] { close(); });
}

void Window::wire_ears() {
    desk_.hub().join(ears_);
    connect(&desk_, &DeskState::pitch_wanted, this,
            [this](double pitch_hz) { ears_->set_pitch(pitch_hz); });
    copy_->on_play = [this](std::vector<float> audio) { ears_->play(std::move(audio)); };
    fist_->on_play = [this](std::vector<float> audio) { ears_->play(std::move(audio)); };
}

void Window::refresh() {
    const bool every = ++ticks_ % kTicksASecond == 0;
    for (Page* page : pages_) {
        const bool shown = page == stack_->currentWidget();
        if (shown || every) page->refresh(shown);
    }
    // Of the page that is looked at: its tone is the one that is played.
    const auto pitch_hz = stack_->currentWidget() == fist_ && fist_->pitch_hz()
                              ? fist_->pitch_hz()
                              : copy_->model().pitch_of(copy_->model().tone());
    if (pitch_hz) ears_->set_pitch(*pitch_hz);
    input_->refresh();
    if (!every && !clock_->text().isEmpty()) return;
    const auto utc =
        QDateTime::fromMSecsSinceEpoch(desk_.now().time_since_epoch().count(), QTimeZone::utc());
    clock_->setText(utc.toString("HH:mm:ss 'UTC'"));
}

void Window::restyle() {
    const Theme theme = desk_.theme();
    QApplication::setPalette(theme.palette());
    QApplication::setFont(theme.body());
    qApp->setStyleSheet(theme.style_sheet());
    // With a style sheet the application's font does not reach what is there already.
    for (QWidget* part : findChildren<QWidget*>()) part->setFont(theme.body());
    clock_->setFont(theme.figures());
    input_->restyle();
    for (Page* page : pages_) page->restyle();
}

}  // namespace skedlark::gui
