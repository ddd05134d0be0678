#include "gui/bench/bench_page.h"

#include <QCoreApplication>
#include <QDir>
#include <QFileInfo>
#include <QHBoxLayout>
#include <QScrollArea>
#include <QShortcut>
#include <QStandardPaths>
#include <QVBoxLayout>

#include "gui/common/hear_again.h"

namespace skedlark::gui {

namespace {

// Beside the desk where it is installed, or as it is built; else wherever programs are.
QString sheet_program() {
    const QString here = QCoreApplication::applicationDirPath();
    const QString near =
        QStandardPaths::findExecutable("skedlark-sheet", {here, here + "/../../cli"});
    return near.isEmpty() ? QStandardPaths::findExecutable("skedlark-sheet") : near;
}

}  // namespace

BenchPage::BenchPage(DeskState& desk, QWidget* parent)
    : Page(desk, parent),
      list_(new TestList(this)),
      step_(new StepPanel(this)),
      tabs_(new QTabBar(this)),
      views_(new QStackedWidget(this)),
      plots_(new QStackedWidget(this)),
      picture_(new PictureView(this)),
      peak_(new PeakView(this)),
      results_(new ResultPanel(this)),
      history_(new HistoryPanel(this)),
      guide_(new QPlainTextEdit(this)),
      setup_(new SetupPanel(desk.settings(), this)) {
    setFocusPolicy(Qt::StrongFocus);
    setFocusProxy(list_);
    make_layout();
    make_keys();
    wire();
    sheet_program_ = sheet_program();
    results_->offer_sheet(!sheet_program_.isEmpty());
    model_.set_setup(setup_of(desk.settings()));
    model_.set_receiver(desk.receiver());
    desk.hub().join(model_.user());
    restyle();
    show_guide();
    refresh(true);
}

BenchPage::~BenchPage() { desk().hub().leave(model_.user()); }

void BenchPage::make_layout() {
    // Type too large for the screen makes it longer; the focus is always scrolled to.
    auto* whole = new QVBoxLayout(this);
    whole->setContentsMargins(0, 0, 0, 0);
    auto* scroll = new QScrollArea(this);
    scroll->setWidgetResizable(true);
    scroll->setFrameShape(QFrame::NoFrame);
    scroll->setFocusPolicy(Qt::NoFocus);
    auto* content = new QWidget(scroll);
    scroll->setWidget(content);
    whole->addWidget(scroll);
    auto* both = new QHBoxLayout(content);
    both->setContentsMargins(8, 6, 8, 4);
    both->addWidget(list_);
    auto* right = new QVBoxLayout;
    right->setSpacing(4);
    right->addWidget(step_);
    tabs_->setAccessibleName(tr("What is shown below the step"));
    tabs_->setDrawBase(false);
    tabs_->setExpanding(false);
    const auto add = [this](const QString& name, QWidget* view) {
        tabs_->addTab(name);
        views_->addWidget(view);
    };
    plots_->addWidget(picture_);
    plots_->addWidget(peak_);
    add(tr("&Plot"), plots_);
    add(tr("&Results"), results_);
    add(tr("&Before and after"), history_);
    guide_->setAccessibleName(tr("Where to look when the set is not right"));
    guide_->setReadOnly(true);
    add(tr("Fault &guide"), guide_);
    add(tr("&Set-up"), setup_);
    right->addWidget(tabs_);
    right->addWidget(views_, 1);
    both->addLayout(right, 1);
}

void BenchPage::make_keys() {
    const auto add = [this](const QKeySequence& keys, auto does) {
        auto* shortcut = new QShortcut(keys, this);
        shortcut->setContext(Qt::WidgetWithChildrenShortcut);
        shortcut->setAutoRepeat(false);
        connect(shortcut, &QShortcut::activated, this, does);
    };
    add(Qt::Key_F5, [this] { record(); });
    add(Qt::ALT | Qt::Key_Right, [this] { go_on(); });
    add(Qt::ALT | Qt::Key_Left, [this] { model_.back(); });
    add(Qt::Key_Escape, [this] { model_.cancel(); });
    add(Qt::Key_F6, [this] { model_.release_peak(); });
    add(Qt::Key_F7, [this] { model_.mark_supply(bench::Supply::low); });
    add(Qt::Key_F8, [this] { model_.mark_supply(bench::Supply::normal); });
    add(Qt::Key_F9, [this] { model_.mark_supply(bench::Supply::high); });
    add(Qt::Key_F11, [this] { model_.mark_off(); });
    add(Qt::Key_F12, [this] { model_.mark_on(); });
    add(QKeySequence::Save, [this] {
        show_view(results);
        save();
    });
}

std::vector<KeyLine> BenchPage::keys() const {
    return {{tr("Up, Down"), tr("in the list: another test; what was recorded of one stays")},
            {tr("Alt+Right, Alt+Left"), tr("the next step, the one before")},
            {"F5", tr("records this step, or stops; at the result measures again")},
            {tr("Esc"), tr("gives up what is being recorded")},
            {"F6", tr("peak meter: lets the peak go")},
            {"F7, F8, F9", tr("drift: the supply is low, normal, high from now on")},
            {"F11, F12", tr("drift: the set is switched off, on again")},
            {"Alt+P, Alt+R, Alt+B, Alt+G, Alt+S",
             tr("plot, results, before and after, fault guide, set-up")},
            {"Ctrl+S", tr("saves the result as JSON Lines")}};
}

void BenchPage::wire() {
    connect(tabs_, &QTabBar::currentChanged, views_, &QStackedWidget::setCurrentIndex);
    connect(list_, &TestList::chosen, this, [this](const QString& test) {
        model_.choose(test.toStdString());
        drawn_result_ = false;
        show_view(plot);
        picture_->show_picture({}, tr("Plot"));
    });
    connect(step_, &StepPanel::next_wanted, this, &BenchPage::go_on);
    connect(step_, &StepPanel::back_wanted, this, [this] { model_.back(); });
    connect(step_, &StepPanel::step_wanted, this,
            [this](int step) { model_.go(static_cast<std::size_t>(step)); });
    connect(step_, &StepPanel::record_wanted, this, &BenchPage::record);
    connect(step_, &StepPanel::edited, this, [this](const QString& key, const QString& text) {
        model_.set_text(key.toStdString(), text.toStdString());
    });
    connect(results_, &ResultPanel::save_wanted, this, &BenchPage::save);
    connect(results_, &ResultPanel::sheet_wanted, this, &BenchPage::make_sheet);
    connect(&sheeting_, &QProcess::finished, this, [this](int status) {
        const QString why = QString::fromLocal8Bit(sheeting_.readAllStandardError()).trimmed();
        results_->say(status == 0 ? tr("sheet: %1").arg(sheeting_.arguments().constLast())
                                  : "! " + why);
    });
    connect(&sheeting_, &QProcess::errorOccurred, this,
            [this] { results_->say("! " + sheet_program_ + ": " + sheeting_.errorString()); });
    connect(results_, &ResultPanel::chain_wanted, this, &BenchPage::save_chain);
    connect(results_, &ResultPanel::receiver_wanted, this, &BenchPage::save_receiver);
    connect(history_, &HistoryPanel::compare_wanted, this,
            [this](qint64 id) { model_.compare_with(id); });
    connect(setup_, &SetupPanel::edited, this,
            [this] { model_.set_setup(setup_of(desk().settings())); });
    connect(&desk(), &DeskState::receiver_changed, this,
            [this] { model_.set_receiver(desk().receiver()); });
}

void BenchPage::record() {
    const HubState hub = desk().hub().state();
    const bool runs = hub.phase == HubPhase::listening || hub.phase == HubPhase::opening;
    const bool file = !hub.input.live && !hub.input.name.empty() && hub.phase != HubPhase::failed;
    // A file is taken from its beginning.
    if (model_.start_or_stop(runs, file)) hear_file_again(desk());
    drawn_result_ = false;
    if (model_.listening()) show_view(plot);
}

void BenchPage::go_on() { model_.next(); }

bool BenchPage::save() {
    const QString path = results_->path();
    if (path.isEmpty()) {
        results_->ask_for_path();
        return false;
    }
    const Status saved = model_.save_result(path.toStdString());
    results_->say(saved ? tr("saved: %1").arg(QDir::current().absoluteFilePath(path))
                        : "! " + QString::fromStdString(saved.error().message));
    return saved.ok();
}

// A program of its own draws it; nothing waits for it.
void BenchPage::make_sheet() {
    if (sheeting_.state() != QProcess::NotRunning || !save()) return;
    const QFileInfo result(QDir::current().absoluteFilePath(results_->path()));
    const QString sheet = result.dir().filePath(result.completeBaseName() + ".pdf");
    results_->say(tr("drawing %1").arg(sheet));
    sheeting_.start(sheet_program_, {result.filePath(), "--out", sheet});
}

void BenchPage::save_chain() {
    QString path = results_->path();
    if (path.isEmpty() || path.endsWith(".jsonl")) path = "chain.toml";
    path = QDir::current().absoluteFilePath(path);
    const Status saved = model_.save_chain(path.toStdString());
    if (saved) {
        desk().settings().set("bench/chain", path);
        setup_->show_settings();
        model_.set_setup(setup_of(desk().settings()));
    }
    results_->say(saved ? tr("saved and in use: %1").arg(path)
                        : "! " + QString::fromStdString(saved.error().message));
}

void BenchPage::save_receiver() {
    QString path = results_->path();
    if (path.isEmpty() || path.endsWith(".jsonl")) path = "receiver-corrected.toml";
    path = QDir::current().absoluteFilePath(path);
    const Status saved = model_.save_receiver(path.toStdString());
    results_->say(saved ? tr("saved: %1").arg(path)
                        : "! " + QString::fromStdString(saved.error().message));
}

void BenchPage::show_guide() {
    if (guided_results_ == model_.results()) return;
    guided_results_ = model_.results();
    guide_->setPlainText(
        QString::fromStdString(places_words(model_.sheets()) + "\n" + guide_words()));
}

void BenchPage::show_plot() {
    const bool peak = model_.run().kind().name == "peak";
    plots_->setCurrentWidget(peak ? static_cast<QWidget*>(peak_) : picture_);
    if (peak) {
        peak_->show_peak(model_.heard().peak);
        return;
    }
    const QString what = QString::fromStdString(model_.run().kind().title);
    const bool result = model_.run().step().kind == StepKind::result && model_.done() != nullptr;
    if (result && drawn_result_) return;
    if (!result && (!model_.listening() || !picture_->is_due())) return;
    drawn_result_ = result;
    picture_->show_picture(model_.picture(), what);
}

void BenchPage::refresh(bool shown) {
    model_.refresh(desk().now());
    if (!shown) return;
    if (shown_results_ != model_.results()) {
        shown_results_ = model_.results();
        drawn_result_ = false;
        show_view(results);
    }
    list_->show_model(model_);
    step_->show_model(model_);
    show_plot();
    results_->show_model(model_);
    history_->show_model(model_);
    show_guide();
}

void BenchPage::restyle() {
    const Theme theme = desk().theme();
    setFont(theme.body());
    list_->restyle(theme);
    step_->restyle(theme);
    picture_->restyle(theme);
    peak_->restyle(theme);
    results_->restyle(theme);
    history_->restyle(theme);
}

}  // namespace skedlark::gui
