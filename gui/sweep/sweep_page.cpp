#include "gui/sweep/sweep_page.h"

#include <QHBoxLayout>
#include <QScrollArea>
#include <QVBoxLayout>
#include <cmath>

#include "gui/common/hear_again.h"

namespace skedlark::gui {

namespace {
constexpr double kReadyS = 5.0;  // to put a hand to the dial before a sweep
}

SweepPage::SweepPage(DeskState& desk, QWidget* parent)
    : Page(desk, parent),
      controls_(new SweepControls(this)),
      words_(new QLabel(this)),
      picture_(new SweepPicture(this)),
      curve_(new WhereCurve(this)),
      map_words_(new QLabel(this)),
      next_(new QPushButton(this)),
      table_(new StationTable(this)),
      lead_(new QStackedWidget(this)),
      light_(new PaceLight(this)),
      readout_(new ZeroInReadout(this)) {
    setFocusPolicy(Qt::StrongFocus);
    make_layout();
    make_keys();
    connect(controls_, &SweepControls::edited, this, &SweepPage::take_fields);
    connect(controls_, &SweepControls::start_wanted, this, &SweepPage::start_or_stop);
    connect(controls_, &SweepControls::contact_wanted, this, &SweepPage::take_contact);
    connect(controls_, &SweepControls::click_wanted, this,
            [this](bool on) { this->desk().settings().set("sweep/click", on); });
    connect(next_, &QPushButton::clicked, this, &SweepPage::take_next);
    connect(table_, &StationTable::wanted, this, &SweepPage::zero_in);
    connect(&desk, &DeskState::receiver_changed, this, &SweepPage::take_receiver);
    connect(&desk, &DeskState::card_changed, this, &SweepPage::take_contact);
    connect(&desk.settings(), &Settings::changed, this, [this](const QString& key) {
        if (key == "sweep/click") controls_->set_click(this->desk().settings().on("sweep/click"));
    });
    controls_->set_click(desk.settings().on("sweep/click"));
    desk.hub().join(model_.user());
    restyle();
    take_receiver();
}

SweepPage::~SweepPage() { desk().hub().leave(model_.user()); }

void SweepPage::make_layout() {
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
    auto* rows = new QVBoxLayout(content);
    rows->setContentsMargins(8, 6, 8, 4);
    rows->setSpacing(4);
    rows->addWidget(controls_);
    words_->setAccessibleName(tr("How the sweep goes"));
    words_->setWordWrap(true);
    auto* state = new QHBoxLayout;
    state->addWidget(words_, 2);
    auto* caution = new QLabel(
        tr("Set the headphones low before a sweep: a strong station comes up suddenly."), this);
    caution->setAccessibleName(tr("Caution"));
    caution->setWordWrap(true);
    caution->setAlignment(Qt::AlignRight | Qt::AlignVCenter);
    state->addWidget(caution, 3);
    rows->addLayout(state);
    rows->addWidget(picture_, 3);
    rows->addWidget(curve_, 1);
    auto* told = new QHBoxLayout;
    map_words_->setAccessibleName(tr("What the curve says"));
    map_words_->setWordWrap(true);
    told->addWidget(map_words_, 1);
    next_->setAccessibleName(tr("Take the next stretch"));
    told->addWidget(next_);
    rows->addLayout(told);
    auto* foot = new QHBoxLayout;
    foot->addWidget(table_, 3);
    lead_->addWidget(light_);
    lead_->addWidget(readout_);
    foot->addWidget(lead_, 2);
    rows->addLayout(foot);
    table_->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Maximum);
    lead_->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Maximum);
}

void SweepPage::make_keys() {
    const auto add = [this](const QKeySequence& keys, auto does) {
        auto* shortcut = new QShortcut(keys, this);
        shortcut->setContext(Qt::WidgetWithChildrenShortcut);
        shortcut->setAutoRepeat(false);
        connect(shortcut, &QShortcut::activated, this, does);
        return shortcut;
    };
    add(Qt::Key_S, [this] { start_or_stop(); });
    add(Qt::Key_N, [this] { take_next(); });
    add(Qt::Key_B, [this] {
        if (const auto best = model_.best()) zero_in(*best);
    });
    add(Qt::Key_Escape, [this] {
        model_.leave();
        table_->setFocus();
    });
    mark_ = add(Qt::Key_Space, [this] {
        if (model_.mark()) light_->beat();
    });
    take_back_ = add(Qt::Key_Backspace, [this] { model_.take_mark_back(); });
    mark_->setEnabled(false);
    take_back_->setEnabled(false);
}

std::vector<KeyLine> SweepPage::keys() const {
    return {{"S", tr("starts the sweep, or stops it")},
            {tr("Space"), tr("marks a division, in a sweep that is marked by space")},
            {tr("Backspace"), tr("takes the last mark back")},
            {tr("Enter"), tr("on a station met: helps to zero in")},
            {"B", tr("zeroes in on the best of the stations met")},
            {tr("Esc"), tr("leaves the zeroing in")},
            {"N", tr("takes the next stretch to sweep")}};
}

void SweepPage::take_receiver() {
    model_.set_receiver(desk().receiver(), desk().known());
    SweepSetup setup = model_.setup();
    setup.rate_khz_per_s = desk().settings().number("sweep/rate_khz_per_s");
    if (model_.receiver()) (void)model_.set_setup(setup);  // the setting's range is the page's
    controls_->set_receiver(model_.receiver());
    say("");
    take_contact();
    show_setup();
}

void SweepPage::take_contact() {
    const auto& card = desk().card();
    controls_->set_contact(card.has_value());
    if (!card || !model_.receiver() || model_.active()) return;
    const Status offered = model_.offer(card->leg.receive_khz / 1000.0, card->with.call);
    say(offered ? "" : QString::fromStdString(offered.error().message));
    show_setup();
}

void SweepPage::take_fields() {
    if (!model_.receiver() || model_.active()) return;
    const auto typed = controls_->read(model_.setup());
    const Status set = typed ? model_.set_setup(*typed) : Status(typed.error());
    say(set ? "" : QString::fromStdString(set.error().message));
    if (!set) return;
    desk().settings().set("sweep/rate_khz_per_s", model_.setup().rate_khz_per_s);
    show_setup();
}

void SweepPage::show_setup() {
    QString pace;
    if (model_.dial())
        pace = tr("= %1 div/min").arg(div_per_min(model_.setup(), *model_.dial()), 0, 'f', 2);
    controls_->show_setup(model_.setup(), pace);
}

void SweepPage::start_or_stop() {
    if (model_.active()) {
        model_.stop();
        return;
    }
    take_fields();
    if (!problem_.isEmpty()) return;
    const bool over_file = model_.setup().way == SweepWay::over_file;
    const HubState hub = desk().hub().state();
    if (over_file && hub.phase == HubPhase::listening && hub.input.live) {
        say(tr("Turned: over a file, allowed: with a sound file as the input"));
        return;
    }
    const Status started = model_.start(kReadyS);
    say(started ? "" : QString::fromStdString(started.error().message));
    if (!started) return;
    if (over_file) hear_file_again(desk());  // a sweep over a file begins with it
    table_->setFocus();
}

void SweepPage::zero_in(std::size_t index) {
    if (!model_.choose(index)) {
        desk().say(tr("A station can be zeroed in on once the sweep is done: S stops it."));
        return;
    }
    say("");
    table_->setCurrentCell(static_cast<int>(index), 0);
}

void SweepPage::take_next() {
    if (model_.active() || !model_.take_next_stretch()) return;
    say("");
    show_setup();
}

void SweepPage::say(const QString& problem) {
    problem_ = problem;
    words_->setText(problem.isEmpty() ? QString::fromStdString(model_.state_words()) : problem);
}

void SweepPage::refresh(bool shown) {
    model_.refresh();
    if (model_.take_division_due()) {
        light_->beat();
        if (on_click && desk().settings().on("sweep/click")) on_click();
    }
    if (const auto pitch = model_.take_held_pitch()) desk().want_pitch(*pitch);
    const bool marking = model_.marks().has_value() && model_.now().phase == SweepPhase::running;
    mark_->setEnabled(marking);
    take_back_->setEnabled(marking);
    if (!shown) return;
    controls_->set_active(model_.active());
    if (problem_.isEmpty()) say("");
    picture_->show_model(model_);
    curve_->align(picture_->plot().left(), picture_->plot().width(), picture_->most_ticks());
    curve_->show_model(model_);
    map_words_->setText(QString::fromStdString(model_.map_words()));
    const QString next = QString::fromStdString(model_.next_words());
    next_->setText(tr("Next (N): %1").arg(next));
    next_->setVisible(!next.isEmpty());
    next_->setEnabled(!model_.active());
    table_->show_rows(model_.rows());
    const auto zero_in = model_.zero_in();
    if (zero_in) readout_->show_words(*zero_in);
    lead_->setCurrentWidget(zero_in ? static_cast<QWidget*>(readout_) : light_);
    const DialNow dial = model_.dial_now();
    QString below = tr("start here");
    if (model_.now().phase == SweepPhase::armed && model_.now().audio_runs)
        below = tr("moves in %1 s").arg(std::ceil(model_.now().to_start_s));
    if (dial.turning)
        below =
            dial.next ? tr("the dial now; next %1").arg(*dial.next, 0, 'g', 4) : tr("the dial now");
    light_->show_dial(dial, below);
}

void SweepPage::restyle() {
    const Theme theme = desk().theme();
    setFont(theme.body());
    controls_->restyle(theme);
    picture_->restyle(theme);
    curve_->restyle(theme);
    table_->restyle(theme);
    light_->restyle(theme);
    readout_->restyle(theme);
}

}  // namespace skedlark::gui
