#include "gui/practice/set_up_view.h"

#include <QRandomGenerator>
#include <QVBoxLayout>

#include "dsp/core/units.h"
#include "gui/common/flow_layout.h"
#include "gui/practice/fields.h"
#include "gui/practice/key_pad.h"

namespace skedlark::gui {

namespace {
constexpr std::size_t kColumns = 60;
QString of(const std::string& text) { return QString::fromStdString(text); }
}  // namespace

SetUpView::SetUpView(DeskState& desk, PracticeLog& log, PracticeSound& sound, QWidget* parent)
    : QWidget(parent), desk_(desk), sound_(sound), drill_(log) {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(4, 4, 4, 4);
    auto* bar = new QWidget(this);
    new FlowLayout(bar);
    bar->layout()->setContentsMargins(0, 0, 0, 0);
    speed_ = number_field(kMinSpeedWpm, kMaxSpeedWpm, 1, 0, bar);
    speed_->setValue(12.0);
    add_pair(*bar, tr("Base sends at"), *speed_, tr("Speed of the base, words a minute"));
    noise_ = number_field(-10, 40, 1, 0, bar);
    noise_->setValue(10.0);
    add_pair(*bar, tr("dB over noise"), *noise_, tr("Base over noise in 2500 Hz, dB"));
    next_ = button_of(tr("Another (F5)"), tr("Another contact to set up"), bar);
    go_on_ = button_of(tr("Begin (F6)"), tr("Begin; mark the settings; found; mark the copy"), bar);
    bar->layout()->addWidget(next_);
    bar->layout()->addWidget(go_on_);
    rows->addWidget(bar);
    task_ = words_of(tr("The contact to set up"), this);
    rows->addWidget(task_);
    fields_ = new QWidget(this);
    new FlowLayout(fields_);
    fields_->layout()->setContentsMargins(0, 0, 0, 0);
    band_ = new QComboBox(fields_);
    add_pair(*fields_, tr("Band"), *band_, tr("Band of the receiver to set"));
    division_ = new QLineEdit(fields_);
    add_pair(*fields_, tr("division"), *division_, tr("Division of the dial, by the chart"));
    crystal_ = new QComboBox(fields_);
    add_pair(*fields_, tr("crystal"), *crystal_, tr("Crystal of the answer"));
    position_ = new QComboBox(fields_);
    add_pair(*fields_, tr("switch"), *position_, tr("Switch of the transmitter"));
    rows->addWidget(fields_);
    words_ = words_of(tr("How the set-up drill goes"), this);
    rows->addWidget(words_);
    dial_ = new DialView(this);
    rows->addWidget(dial_);
    typed_ = page_of(tr("Your copy of the message"), false, this);
    typed_->setPlaceholderText(tr("Your copy of the message, once the base was found"));
    rows->addWidget(typed_, 1);
    result_ = page_of(tr("Marks of the settings and of the copy"), true, this);
    rows->addWidget(result_, 2);
    connect(next_, &QPushButton::clicked, this, &SetUpView::begin);
    connect(go_on_, &QPushButton::clicked, this, &SetUpView::go_on);
    connect(division_, &QLineEdit::returnPressed, this, &SetUpView::go_on);
    connect(dial_, &DialView::turned, this, [this](double by_div) {
        drill_.turn_by(by_div);
        dial_->set_division(drill_.division());
    });
    say(tr("F6 begins. It takes the plan and the receiver file that are open on the Plan page."));
    show_phase();
}

void SetUpView::begin() {
    if (!desk_.plan() || !desk_.receiver()) {
        say(
            tr("Open a plan and a receiver file on the Plan page first: the contact, the chart and "
               "the crystals come from them."));
        return;
    }
    SetUpSettings settings;
    settings.speed_wpm = speed_->value();
    settings.snr_2500hz_db = noise_->value();
    const Status begun = drill_.begin(*desk_.plan(), *desk_.receiver(), desk_.known(), settings,
                                      QRandomGenerator::global()->generate64());
    if (!begun) {
        say(of(begun.error().message));
        return;
    }
    sound_.stop();
    task_->setText(of(drill_.task_words()));
    typed_->clear();
    result_->clear();
    fill_fields();
    say(
        tr("Set it: band and division from the chart, crystal and switch from the plan; then F6. A "
           "card would tell: here it is hidden."));
    show_phase();
    band_->setFocus();
}

void SetUpView::fill_fields() {
    for (QComboBox* field : {band_, crystal_, position_}) {
        field->clear();
        field->addItem(tr("choose"), "");
    }
    for (const dial::Band& band : drill_.receiver().bands)
        band_->addItem(of(band.name), of(band.name));
    crystal_->addItem(tr("none"), "none");
    for (const station::Crystal& crystal : drill_.plan().crystals)
        crystal_->addItem(tr("%1  %2 kHz").arg(of(crystal.name)).arg(crystal.khz, 0, 'f', 1),
                          of(crystal.name));
    position_->addItem(tr("none"), "none");
    for (const station::TransmitterBand& band : drill_.plan().bands)
        position_->addItem(of(band.position), of(band.position));
    division_->clear();
}

void SetUpView::go_on() {
    switch (drill_.phase()) {
        case SetUpPhase::idle:
        case SetUpPhase::marked:
            begin();
            return;
        case SetUpPhase::asking:
            answer();
            return;
        case SetUpPhase::sweeping:
            found();
            return;
        case SetUpPhase::copying:
            mark();
            return;
    }
}

void SetUpView::answer() {
    station::SetUpAnswer answer;
    answer.band = band_->currentData().toString().toStdString();
    answer.crystal = crystal_->currentData().toString().toStdString();
    answer.position = position_->currentData().toString().toStdString();
    const QString typed = division_->text().trimmed();
    bool reads = false;
    const double division = typed.toDouble(&reads);
    const dial::Receiver& receiver = drill_.receiver();
    if (!typed.isEmpty() &&
        !(reads && division >= receiver.from_div && division <= receiver.to_div)) {
        say(tr("Division: \"%1\"; allowed: %2 to %3")
                .arg(typed)
                .arg(receiver.from_div)
                .arg(receiver.to_div));
        return;
    }
    if (reads) answer.division = division;
    if (const Status marked = drill_.answer(answer, steady_now_s()); !marked) {
        say(of(marked.error().message));
        return;
    }
    result_->setPlainText(of(drill_.answer_words()));
    dial_->set_scale(receiver.from_div, receiver.to_div, tr("Band %1").arg(of(drill_.band())));
    dial_->set_division(drill_.division());
    say(tr("Sweep for the base with the arrow keys or the wheel (Ctrl farther, Shift finer); F6 "
           "when "
           "it is at the listening pitch, %1 Hz.")
            .arg(receiver.audio.pitch_hz, 0, 'f', 0));
    show_phase();
    dial_->setFocus();
    sound_.play(drill_.audio());
}

void SetUpView::found() {
    say(of(drill_.found(steady_now_s())));
    show_phase();
    if (drill_.phase() == SetUpPhase::copying) typed_->setFocus();
}

void SetUpView::mark() {
    const Status marked = drill_.mark(typed_->toPlainText().toStdString(), desk_.now());
    if (drill_.phase() != SetUpPhase::marked) {
        say(of(marked.error().message));
        return;
    }
    sound_.stop();
    result_->setPlainText(of(drill_.result_words(kColumns) + "\n" + drill_.answer_words()));
    say(marked ? tr("Marked.") : tr("Marked, but not logged: %1").arg(of(marked.error().message)));
    show_phase();
    result_->setFocus();
}

void SetUpView::show_phase() {
    const SetUpPhase phase = drill_.phase();
    fields_->setEnabled(phase == SetUpPhase::asking);
    dial_->setEnabled(phase == SetUpPhase::sweeping || phase == SetUpPhase::copying);
    typed_->setEnabled(phase == SetUpPhase::copying);
    go_on_->setText(phase == SetUpPhase::asking     ? tr("Mark (F6)")
                    : phase == SetUpPhase::sweeping ? tr("Found (F6)")
                    : phase == SetUpPhase::copying  ? tr("Mark (F6)")
                                                    : tr("Begin (F6)"));
}

void SetUpView::restyle(const Theme& theme) {
    dial_->restyle(theme);
    typed_->setFont(theme.copy_text());
    result_->setFont(theme.copy_text());
    division_->setFixedWidth(QFontMetrics(theme.body()).horizontalAdvance("100.00") + 16);
}

}  // namespace skedlark::gui
