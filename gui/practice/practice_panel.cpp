#include "gui/practice/practice_panel.h"

#include <QScrollArea>
#include <QShortcut>
#include <QTabBar>
#include <QVBoxLayout>

#include "gui/common/flow_layout.h"
#include "gui/practice/fields.h"

namespace skedlark::gui {

namespace {
constexpr int kSoundEvery = 15;  // refreshes: twice a second
}

PracticePanel::PracticePanel(DeskState& desk, QWidget* parent, std::unique_ptr<PracticeSound> sound,
                             const std::string& log_file)
    : QWidget(parent),
      desk_(desk),
      log_(log_file),
      sound_(sound ? std::move(sound) : make_practice_sound()),
      drills_(new QTabWidget(this)),
      sending_(new SendingView(desk, log_, *sound_)),
      copying_(new CopyingView(desk, log_, *sound_)),
      set_up_(new SetUpView(desk, log_, *sound_)) {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(0, 0, 0, 0);
    rows->setSpacing(2);
    drills_->setAccessibleName(tr("Drill"));
    drills_->addTab(in_area(sending_), tr("Sending (Ctrl+1)"));
    drills_->addTab(in_area(copying_), tr("Copying (Ctrl+2)"));
    drills_->addTab(in_area(set_up_), tr("Setting up (Ctrl+3)"));
    drills_->setUsesScrollButtons(true);
    drills_->setStyleSheet("QTabBar QToolButton { padding: 0px; }");
    rows->addWidget(drills_, 1);
    auto* bar = new QWidget(this);
    new FlowLayout(bar);
    bar->layout()->setContentsMargins(4, 0, 4, 2);
    make_sound_row(*bar);
    rows->addWidget(bar);
    make_keys();
    take_sound();
    connect(&desk.settings(), &Settings::changed, this, [this](const QString& key) {
        if (key.startsWith("ears/") || key.startsWith("practice/")) take_sound();
    });
    connect(drills_, &QTabWidget::currentChanged, this, [this] { sound_->stop(); });
}

PracticePanel::~PracticePanel() {
    // The drills' audio is being made as long as it plays.
    sound_->release();
    delete drills_;
}

QWidget* PracticePanel::in_area(QWidget* view) {
    auto* area = new QScrollArea(drills_);
    area->setWidgetResizable(true);
    area->setFrameShape(QFrame::NoFrame);
    area->setFocusPolicy(Qt::NoFocus);
    area->setWidget(view);
    return area;
}

void PracticePanel::make_sound_row(QWidget& bar) {
    Settings& settings = desk_.settings();
    level_ = number_field(-70, -12, 1, 0, &bar);
    level_->setValue(settings.number("practice/level_dbfs"));
    add_pair(bar, tr("Volume, dBFS"), *level_, tr("Volume of practice, dBFS"));
    pitch_ = number_field(300, 1200, 25, 0, &bar);
    pitch_->setValue(settings.number("practice/sidetone_hz"));
    add_pair(bar, tr("sidetone, Hz"), *pitch_, tr("Pitch of the sidetone, hertz"));
    sound_words_ = new QLabel(&bar);
    sound_words_->setAccessibleName(tr("Sound of practice: limit, delay of the key"));
    bar.layout()->addWidget(sound_words_);
    connect(level_, &QDoubleSpinBox::valueChanged, this,
            [this](double value) { desk_.settings().set("practice/level_dbfs", value); });
    connect(pitch_, &QDoubleSpinBox::valueChanged, this,
            [this](double value) { desk_.settings().set("practice/sidetone_hz", value); });
}

void PracticePanel::make_keys() {
    const auto key = [this](const QKeySequence& keys, auto does) {
        // Of the window: they work as long as the panel is shown, wherever the focus is.
        auto* shortcut = new QShortcut(keys, this);
        connect(shortcut, &QShortcut::activated, this, does);
    };
    for (int i = 0; i < 3; ++i) {
        key(QKeySequence(QString("Ctrl+%1").arg(i + 1)), [this, i] {
            drills_->setCurrentIndex(i);
            drills_->tabBar()->setFocus();
        });
    }
    const auto of_drill = [this](auto sending, auto copying, auto set_up) {
        return [=, this] {
            if (drills_->currentIndex() == 0) sending();
            if (drills_->currentIndex() == 1) copying();
            if (drills_->currentIndex() == 2) set_up();
        };
    };
    key(Qt::Key_F5, of_drill([this] { sending_->begin(); }, [this] { copying_->begin(); },
                             [this] { set_up_->begin(); }));
    key(Qt::Key_F6, of_drill([this] { sending_->go_on(); }, [this] { copying_->go_on(); },
                             [this] { set_up_->go_on(); }));
    key(Qt::Key_F7, [this] {
        if (drills_->currentIndex() == 1) copying_->play_again();
    });
    key(Qt::Key_F8, [this] { sound_->stop(); });
}

std::vector<KeyLine> PracticePanel::keys() {
    return {
        {tr("Ctrl+1, Ctrl+2, Ctrl+3"), tr("practice: sending, copying, setting up")},
        {"F5", tr("practice: another exercise")},
        {"F6", tr("practice: the next step: begin, done, mark, found")},
        {"F7", tr("practice: plays the text to copy again")},
        {"F8", tr("practice: stops the sound")},
        {tr("Space"), tr("practice: the key, where it says so")},
        {tr("Arrows, wheel"), tr("practice: turn the dial; with Ctrl farther, with Shift finer")},
        {tr("PageUp, PageDown"), tr("practice: a whole division of the dial")}};
}

void PracticePanel::set_who(const std::string& who) {
    if (who == log_.who()) return;
    log_.set_who(who);
    copying_->take_who();
}

void PracticePanel::take_sound() {
    const Settings& settings = desk_.settings();
    SoundSettings sound;
    sound.device = settings.text("ears/device").toStdString();
    sound.limit_dbfs = settings.number("ears/limit_dbfs");
    sound.level_dbfs = settings.number("practice/level_dbfs");
    sound.sidetone_hz = settings.number("practice/sidetone_hz");
    if (const Status done = sound_->configure(sound); !done) {
        sound_words_->setText(QString::fromStdString(done.error().message));
        return;
    }
    say_sound();
}

void PracticePanel::say_sound() {
    const Settings& settings = desk_.settings();
    const double limit = settings.number("ears/limit_dbfs");
    const bool held = settings.number("practice/level_dbfs") > limit;
    QString words =
        held ? tr("held at the limit, %1 dBFS").arg(limit) : tr("never beyond %1 dBFS").arg(limit);
    if (const auto delay_s = sound_->key_delay_s())
        words += tr("; key to sound %1 ms").arg(1000.0 * *delay_s, 0, 'f', 0);
    if (const Status status = sound_->status(); !status)
        words = tr("No sound: %1").arg(QString::fromStdString(status.error().message));
    sound_words_->setText(words);
}

void PracticePanel::refresh() {
    sending_->refresh();
    copying_->refresh();
    if (refreshes_++ % kSoundEvery == 0) say_sound();
}

void PracticePanel::restyle(const Theme& theme) {
    sending_->restyle(theme);
    copying_->restyle(theme);
    set_up_->restyle(theme);
}

void PracticePanel::hideEvent(QHideEvent* event) {
    sound_->release();
    QWidget::hideEvent(event);
}

void PracticePanel::showEvent(QShowEvent* event) {
    QWidget::showEvent(event);
    say_sound();
}

}  // namespace skedlark::gui
