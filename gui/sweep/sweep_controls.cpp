#include "gui/sweep/sweep_controls.h"

#include <QDir>
#include <QGridLayout>
#include <QStandardPaths>

namespace skedlark::gui {

QDoubleSpinBox* SweepControls::number(const QString& name, double low, double high, int decimals) {
    auto* box = new QDoubleSpinBox(this);
    box->setRange(low, high);
    box->setDecimals(decimals);
    box->setAccessibleName(name);
    return box;
}

SweepControls::SweepControls(DeskState& desk, QWidget* parent)
    : QWidget(parent),
      desk_(desk),
      band_(new QComboBox(this)),
      way_(new QComboBox(this)),
      wanted_(number(tr("Wanted, kHz"), 0.0, 1e6, 1)),
      from_(number(tr("From division"), dial::kMinDiv, dial::kMaxDiv, 2)),
      to_(number(tr("To division"), dial::kMinDiv, dial::kMaxDiv, 2)),
      pace_(number(tr("Pace, kHz a second"), 0.02, 10.0, 2)),
      click_(new QCheckBox(tr("Clic&k"), this)),
      safe_(new QLabel(this)) {
    band_->setAccessibleName(tr("Band"));
    way_->setAccessibleName(tr("Way of the dial"));
    way_->addItems({tr("follow the pace"), tr("mark divisions"), tr("step and rest")});
    wanted_->setSpecialValueText(tr("none"));
    click_->setAccessibleName(tr("Click in the headphones at each division"));
    safe_->setAccessibleName(tr("Safe pace"));
    pace_->setValue(desk_.settings().number("sweep/rate_khz_per_s"));
    click_->setChecked(desk_.settings().on("sweep/click"));
    auto* grid = new QGridLayout(this);
    grid->setContentsMargins(0, 0, 0, 0);
    const QList<std::pair<QString, QWidget*>> fields{
        {tr("Band"), band_}, {tr("Wanted kHz"), wanted_}, {tr("From"), from_},
        {tr("To"), to_},     {tr("Dial"), way_},          {tr("kHz/s"), pace_}};
    int column = 0;
    for (const auto& [label, field] : fields) {
        grid->addWidget(new QLabel(label, this), 0, column);
        grid->addWidget(field, 1, column++);
    }
    grid->addWidget(click_, 1, column);
    grid->addWidget(safe_, 2, 0, 1, column + 1);
    connect(pace_, &QDoubleSpinBox::valueChanged, this, [this](double value) {
        desk_.settings().set("sweep/rate_khz_per_s", value);
        say_pace();
    });
    connect(click_, &QCheckBox::toggled, this,
            [this](bool on) { desk_.settings().set("sweep/click", on); });
    for (QDoubleSpinBox* box : {wanted_, from_, to_})
        connect(box, &QDoubleSpinBox::valueChanged, this, [this] { say_pace(); });
    connect(band_, &QComboBox::currentIndexChanged, this, [this] { say_pace(); });
    take_receiver();
}

void SweepControls::take_receiver() {
    band_->clear();
    if (desk_.receiver()) {
        for (const dial::Band& band : desk_.receiver()->bands)
            band_->addItem(QString::fromStdString(band.name));
    }
    take_card();
    say_pace();
}

void SweepControls::take_card() {
    if (!desk_.card() || !desk_.receiver()) return;
    const auto first = first_stretch(desk_.card()->leg, *desk_.receiver());
    if (!first) return;
    band_->setCurrentText(QString::fromStdString(first->band));
    wanted_->setValue(1000.0 * first->wanted_mhz);
    from_->setValue(first->from_div);
    to_->setValue(first->to_div);
}

Result<dial::Dial> SweepControls::dial() const {
    if (!desk_.receiver())
        return Error{ErrorCode::not_found, "Receiver: none is chosen; load a receiver file first"};
    return dial::Dial::create(*desk_.receiver(), band_->currentText().toStdString(), desk_.known());
}

SweepSetup SweepControls::setup(bool live, const dial::Dial& dial) const {
    SweepSetup setup;
    setup.way = static_cast<DialWay>(way_->currentIndex());
    setup.from_div = from_->value();
    setup.to_div = to_->value();
    // A file was turned as it was: evenly from its start to its end.
    if (live)
        setup.div_per_min =
            div_per_min(dial, 0.5 * (setup.from_div + setup.to_div), pace_->value());
    if (!live) setup.count_in_s = 0.0;
    if (setup.way == DialWay::marked) {
        setup.count_in_s = 0.0;
        setup.div_per_min.reset();
    }
    if (wanted_->value() > 0.0) {
        setup.wanted_mhz = wanted_->value() / 1000.0;
        const QDir folder(QStandardPaths::writableLocation(QStandardPaths::GenericDataLocation));
        folder.mkpath("skedlark/maps");
        setup.map_file = folder
                             .filePath("skedlark/maps/" + QString::fromStdString(map_file_name(
                                                              dial, *setup.wanted_mhz)))
                             .toStdString();
    }
    if (desk_.card()) setup.calls = {desk_.card()->with.call};
    return setup;
}

void SweepControls::say_pace() {
    const auto dial = this->dial();
    if (!dial) {
        safe_->setText(QString::fromStdString(dial.error().message));
        return;
    }
    const double middle = 0.5 * (from_->value() + to_->value());
    QString text = tr("%1 div/min").arg(div_per_min(*dial, middle, pace_->value()), 0, 'f', 1);
    if (wanted_->value() > 0.0) {
        const auto safe = safe_khz_per_s(*dial, wanted_->value() / 1000.0);
        text += safe ? tr("; safe up to %1 kHz/s").arg(*safe, 0, 'f', 2)
                     : tr("; no pace is safe for a station that weak");
    }
    safe_->setText(text + tr(". A file is taken as turned evenly from its start to its end."));
}

}  // namespace skedlark::gui
