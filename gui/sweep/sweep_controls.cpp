#include "gui/sweep/sweep_controls.h"

#include <QHBoxLayout>
#include <QKeyEvent>

#include "gui/common/flow_layout.h"

namespace skedlark::gui {

namespace {

QString number_text(double value, int places) {
    QString text = QString::number(value, 'f', places);
    while (text.contains('.') && (text.endsWith('0') || text.endsWith('.'))) text.chop(1);
    return text;
}

std::string typed(const QLineEdit* field) { return field->text().trimmed().toStdString(); }

}  // namespace

SweepControls::SweepControls(QWidget* parent)
    : QWidget(parent),
      band_(new QComboBox(this)),
      way_(new QComboBox(this)),
      pace_words_(new QLabel(this)),
      click_(new QCheckBox(tr("Click at each division"), this)),
      contact_(new QPushButton(tr("From the contact"), this)),
      start_(new QPushButton(tr("Start (S)"), this)) {
    auto* flow = new FlowLayout(this);
    flow->setContentsMargins(0, 0, 0, 0);
    band_->setAccessibleName(tr("Band of the receiver"));
    band_->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    add_pair(tr("Band"), band_);
    from_ = add_field(tr("From"), tr("Division the dial starts at"));
    to_ = add_field(tr("To"), tr("Division it is turned to"));
    way_->setAccessibleName(tr("Way the dial is turned"));
    way_->addItems({tr("at a pace"), tr("marked by space"), tr("in steps"), tr("over a file")});
    add_pair(tr("Turned"), way_);
    pace_ = add_field(tr("kHz/s"), tr("Pace, kilohertz a second"));
    step_ = add_field(tr("Step"), tr("Divisions to a step"));
    rest_ = add_field(tr("Rest, s"), tr("Seconds of rest at each step"));
    flow->addWidget(pace_words_);
    wanted_ = add_field(tr("Wanted kHz"), tr("Frequency of the wanted station, kilohertz"));
    contact_->setAccessibleName(tr("Take frequency, stretch and pace from the contact"));
    flow->addWidget(contact_);
    click_->setAccessibleName(tr("Click in the headphones at each division"));
    flow->addWidget(click_);
    start_->setAccessibleName(tr("Start or stop the sweep"));
    flow->addWidget(start_);

    connect(band_, &QComboBox::activated, this, &SweepControls::edited);
    connect(way_, &QComboBox::activated, this, [this] {
        show_way(way());
        emit edited();
    });
    connect(start_, &QPushButton::clicked, this, &SweepControls::start_wanted);
    connect(contact_, &QPushButton::clicked, this, &SweepControls::contact_wanted);
    connect(click_, &QCheckBox::clicked, this, &SweepControls::click_wanted);
    show_way(SweepWay::paced);
}

// A control with its words before it; they stay together.
QWidget* SweepControls::add_pair(const QString& label, QWidget* control) {
    auto* pair = new QWidget(this);
    auto* row = new QHBoxLayout(pair);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(4);
    auto* words = new QLabel(label, pair);
    words->setBuddy(control);
    row->addWidget(words);
    row->addWidget(control);
    layout()->addWidget(pair);
    return pair;
}

QLineEdit* SweepControls::add_field(const QString& label, const QString& name) {
    auto* field = new QLineEdit(this);
    field->setAccessibleName(name);
    field->setToolTip(name);
    field->installEventFilter(this);
    fields_.emplace_back(field, add_pair(label, field));
    connect(field, &QLineEdit::editingFinished, this, &SweepControls::edited);
    return field;
}

// The fields hold numbers only: a letter is a key of the page, here too.
bool SweepControls::eventFilter(QObject* watched, QEvent* event) {
    if (event->type() == QEvent::ShortcutOverride) {
        const auto* key = static_cast<QKeyEvent*>(event);
        if (key->key() >= Qt::Key_A && key->key() <= Qt::Key_Z &&
            key->modifiers() == Qt::NoModifier) {
            event->ignore();
            return true;
        }
    }
    return QWidget::eventFilter(watched, event);
}

void SweepControls::restyle(const Theme& theme) {
    const QFontMetrics metrics(theme.body());
    for (const auto& [field, pair] : fields_) {
        const char* widest = field == wanted_ ? "28000.00" : field == rest_ ? "3600" : "100.00";
        field->setFixedWidth(metrics.horizontalAdvance(widest) + 16);
    }
    band_->setMinimumWidth(metrics.horizontalAdvance("00") + 3 * metrics.height());
}

void SweepControls::set_receiver(const std::optional<dial::Receiver>& receiver) {
    band_->clear();
    has_receiver_ = receiver.has_value();
    if (receiver) {
        low_div_ = receiver->from_div;
        high_div_ = receiver->to_div;
        for (const dial::Band& band : receiver->bands)
            band_->addItem(QString::fromStdString(band.name));
    }
    set_active(active_);
}

void SweepControls::show_setup(const SweepSetup& setup, const QString& pace_words) {
    band_->setCurrentText(QString::fromStdString(setup.band));
    from_->setText(number_text(setup.from_div, 2));
    to_->setText(number_text(setup.to_div, 2));
    way_->setCurrentIndex(static_cast<int>(setup.way));
    pace_->setText(number_text(setup.rate_khz_per_s, 3));
    step_->setText(number_text(setup.step_div, 3));
    rest_->setText(number_text(setup.rest_s, 1));
    wanted_->setText(setup.wanted_mhz ? number_text(1000.0 * *setup.wanted_mhz, 3) : "");
    pace_words_->setText(pace_words);
    show_way(setup.way);
}

Result<SweepSetup> SweepControls::read(const SweepSetup& now) const {
    SweepSetup setup = now;
    setup.band = band_->currentText().toStdString();
    setup.way = way();
    struct Field {
        const char* name;
        const QLineEdit* field;
        double low, high;
        double* into;
    };
    const Field fields[] = {{"From", from_, low_div_, high_div_, &setup.from_div},
                            {"To", to_, low_div_, high_div_, &setup.to_div},
                            {"kHz/s", pace_, 0.02, 10.0, &setup.rate_khz_per_s},
                            {"Step", step_, 0.001, 1000.0, &setup.step_div},
                            {"Rest", rest_, dial::Motion::kLeastRestS, 3600.0, &setup.rest_s}};
    for (const Field& field : fields) {
        const auto value = read_field(field.name, typed(field.field), field.low, field.high);
        if (!value) return value.error();
        *field.into = *value;
    }
    setup.wanted_mhz.reset();
    if (!typed(wanted_).empty()) {
        const auto khz = read_field("Wanted kHz", typed(wanted_), 1000.0 * dial::kMinMhz,
                                    1000.0 * dial::kMaxMhz);
        if (!khz) return khz.error();
        setup.wanted_mhz = *khz / 1000.0;
    }
    return setup;
}

void SweepControls::set_active(bool active) {
    active_ = active;
    const bool open = has_receiver_ && !active;
    for (const auto& [field, pair] : fields_) field->setEnabled(open);
    band_->setEnabled(open);
    way_->setEnabled(open);
    contact_->setEnabled(open && contact_there_);
    start_->setEnabled(has_receiver_);
    start_->setText(active ? tr("Stop (S)") : tr("Start (S)"));
}

void SweepControls::set_contact(bool there_is_one) {
    contact_there_ = there_is_one;
    set_active(active_);
}

void SweepControls::set_click(bool on) { click_->setChecked(on); }

SweepWay SweepControls::way() const { return static_cast<SweepWay>(way_->currentIndex()); }

void SweepControls::show_way(SweepWay way) {
    const bool paced = way == SweepWay::paced || way == SweepWay::marked;
    const bool stepped = way == SweepWay::stepped;
    for (const auto& [field, pair] : fields_) {
        const bool of_steps = field == step_ || field == rest_;
        const bool shown = field == pace_ ? paced : of_steps ? stepped : true;
        pair->setVisible(shown);
    }
    pace_words_->setVisible(paced);
}

}  // namespace skedlark::gui
