#include "gui/copy/listen_panel.h"

#include <QSignalBlocker>

namespace skedlark::gui {

namespace {

// A step below the least value stands for "not told".
QDoubleSpinBox* number_field(double low, double high, double step, const QString& not_told,
                             QWidget* parent) {
    auto* field = new QDoubleSpinBox(parent);
    field->setDecimals(0);
    field->setSingleStep(step);
    field->setRange(not_told.isEmpty() ? low : low - step, high);
    field->setSpecialValueText(not_told);
    field->setKeyboardTracking(false);
    return field;
}

double value_of(const QDoubleSpinBox& field) {
    const bool told = field.specialValueText().isEmpty() || field.value() > field.minimum();
    return told ? field.value() : 0.0;
}

void set_value(QDoubleSpinBox& field, double value) {
    field.setValue(value <= 0.0 ? field.minimum() : value);
}

}  // namespace

ListenPanel::ListenPanel(Settings& settings, Use use, QWidget* parent)
    : QWidget(parent),
      settings_(settings),
      use_(use),
      form_(new QFormLayout(this)),
      pitch_(number_field(watch::kMinPitchHz, watch::kMaxPitchHz, 10, tr("anywhere"), this)),
      search_(number_field(watch::kMinSpanHz, watch::kMaxSpanHz, 10, {}, this)),
      text_(new QComboBox(this)),
      speed_(number_field(kMinSpeedWpm, kMaxSpeedWpm, 1, tr("not told"), this)),
      tones_(new QSpinBox(this)),
      picture_(number_field(40, 1400, 20, {}, this)),
      in_groups_(new QCheckBox(tr("Text in numbered groups"), this)) {
    text_->addItem(tr("nothing"), "none");
    text_->addItem(tr("five-letter groups"), "groups");
    text_->addItem(tr("English words"), "plain");
    tones_->setRange(1, watch::kMaxTones);
    form_->setRowWrapPolicy(QFormLayout::WrapLongRows);
    form_->setContentsMargins(2, 4, 2, 2);
    const auto row = [&](const QString& label, QWidget* field) {
        form_->addRow(label, field);
        field->setAccessibleName(QString(label).remove('&'));
    };
    row(tr("Pitch, Hz"), pitch_);
    row(tr("To each side, Hz"), search_);
    row(tr("Known of the text"), text_);
    row(tr("Words a minute"), speed_);
    tones_->setAccessibleName(tr("Tones at once"));
    picture_->setAccessibleName(tr("Picture, Hz each side"));
    in_groups_->setAccessibleName(in_groups_->text());
    const bool kept = use == Use::kept;
    if (kept) {
        row(tr("Tones at once"), tones_);
        row(tr("Picture, Hz each side"), picture_);
        form_->addRow(in_groups_);
    }
    for (QWidget* field : {static_cast<QWidget*>(tones_), static_cast<QWidget*>(picture_),
                           static_cast<QWidget*>(in_groups_)}) {
        field->setVisible(kept);
    }
    set_value(*pitch_, settings.number("copy/pitch_hz"));
    set_value(*search_, settings.number("copy/search_hz"));
    set_value(*speed_, settings.number("copy/wpm"));
    set_value(*picture_, settings.number("copy/span_hz"));
    tones_->setValue(settings.value("copy/tones").toInt());
    text_->setCurrentIndex(std::max(0, text_->findData(settings.text("copy/text"))));
    in_groups_->setChecked(settings.on("copy/in_groups"));
    for (QDoubleSpinBox* field : {pitch_, search_, speed_, picture_}) {
        connect(field, &QDoubleSpinBox::valueChanged, this, &ListenPanel::keep);
    }
    connect(tones_, &QSpinBox::valueChanged, this, &ListenPanel::keep);
    connect(text_, &QComboBox::currentIndexChanged, this, &ListenPanel::keep);
    connect(in_groups_, &QCheckBox::toggled, this, &ListenPanel::keep);
}

void ListenPanel::keep() {
    if (use_ == Use::kept) {
        settings_.set("copy/pitch_hz", value_of(*pitch_));
        settings_.set("copy/search_hz", value_of(*search_));
        settings_.set("copy/wpm", value_of(*speed_));
        settings_.set("copy/span_hz", value_of(*picture_));
        settings_.set("copy/tones", tones_->value());
        settings_.set("copy/text", text_->currentData());
        settings_.set("copy/in_groups", in_groups_->isChecked());
    }
    emit changed();
}

void ListenPanel::set_pitch(double pitch_hz) { set_value(*pitch_, pitch_hz); }

void ListenPanel::set_speed(double speed_wpm) { set_value(*speed_, speed_wpm); }

std::optional<bool> ListenPanel::in_fives() const {
    const copy::TextKind kind = chosen().watch.text;
    if (kind == copy::TextKind::none) return std::nullopt;
    return kind == copy::TextKind::groups;
}

CopySettings ListenPanel::chosen() const {
    CopySettings settings;
    if (const double pitch_hz = value_of(*pitch_); pitch_hz > 0.0) {
        settings.watch.pitch_hz = pitch_hz;
    }
    settings.watch.span_hz = search_->value();
    settings.watch.text = copy::text_kind(text_->currentData().toString().toStdString());
    settings.watch.speed_wpm = value_of(*speed_);
    settings.watch.tones = tones_->value();
    settings.picture_span_hz = picture_->value();
    return settings;
}

}  // namespace skedlark::gui
