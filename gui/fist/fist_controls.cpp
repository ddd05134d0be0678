#include "gui/fist/fist_controls.h"

#include <QAbstractItemView>
#include <QHBoxLayout>
#include <QLabel>
#include <cmath>

#include "gui/common/flow_layout.h"

namespace skedlark::gui {

FistControls::FistControls(QWidget* parent)
    : QWidget(parent),
      who_(new QLineEdit(this)),
      begin_(new QPushButton(this)),
      sender_(new QComboBox(this)),
      path_(new QLineEdit(this)),
      channel_(new QSpinBox(this)),
      key_channel_(new QSpinBox(this)),
      grade_(new QPushButton(tr("&Grade"), this)) {
    auto* flow = new FlowLayout(this);
    flow->setContentsMargins(0, 0, 0, 0);
    who_->setAccessibleName(tr("Who is sending; attempts are kept under this name"));
    who_->setPlaceholderText(tr("name"));
    add_pair(tr("&Who"), who_);
    begin_->setAccessibleName(tr("Begin or end an attempt"));
    flow->addWidget(begin_);
    sender_->setAccessibleName(tr("Sender that is graded, by its pitch"));
    sender_->setSizeAdjustPolicy(QComboBox::AdjustToContents);
    add_pair(tr("Sen&der"), sender_);
    path_->setAccessibleName(tr("Sound file to grade"));
    path_->setPlaceholderText(tr("sound file"));
    add_pair(tr("&File"), path_);
    channel_->setAccessibleName(tr("Channel with the received tone; 0 for the mean of all"));
    channel_->setRange(0, 64);
    channel_->setValue(1);
    add_pair(tr("Ch&an."), channel_);
    key_channel_->setAccessibleName(tr("Channel with the key line or sidetone; 0 for none"));
    key_channel_->setRange(0, 64);
    key_channel_->setSpecialValueText(tr("none"));
    add_pair(tr("&Key"), key_channel_);
    grade_->setAccessibleName(tr("Grade the sound file"));
    flow->addWidget(grade_);

    connect(who_, &QLineEdit::editingFinished, this, &FistControls::who_changed);
    connect(begin_, &QPushButton::clicked, this, &FistControls::begin_or_end);
    connect(grade_, &QPushButton::clicked, this, &FistControls::file_wanted);
    connect(path_, &QLineEdit::returnPressed, this, &FistControls::file_wanted);
    connect(sender_, &QComboBox::activated, this,
            [this](int index) { emit sender_wanted(sender_->itemData(index).toDouble()); });
    show_phase(FistPhase::idle);
    show_senders({}, 0.0);
}

// A control with its words before it; they stay together.
void FistControls::add_pair(const QString& label, QWidget* control) {
    auto* pair = new QWidget(this);
    auto* row = new QHBoxLayout(pair);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(4);
    auto* words = new QLabel(label, pair);
    words->setBuddy(control);
    row->addWidget(words);
    row->addWidget(control);
    control->setToolTip(control->accessibleName());
    layout()->addWidget(pair);
}

void FistControls::restyle(const Theme& theme) {
    const QFontMetrics metrics(theme.body());
    who_->setFixedWidth(metrics.horizontalAdvance("WWWWWW") + 16);
    path_->setFixedWidth(metrics.horizontalAdvance("/a/recording.flac") + 16);
    sender_->setMinimumWidth(metrics.horizontalAdvance("0000 Hz, 00 dB") + 2 * metrics.height());
}

FileToGrade FistControls::file() const {
    return {path_->text().trimmed().toStdString(), channel_->value(), key_channel_->value()};
}

void FistControls::show_phase(FistPhase phase) {
    const bool on = phase == FistPhase::waiting || phase == FistPhase::measuring;
    const QString words = on ? tr("End and grade (Ctrl+Return)") : tr("Begin (Ctrl+Return)");
    if (begin_->text() != words) begin_->setText(words);
    begin_->setEnabled(phase != FistPhase::grading);
    grade_->setEnabled(!on && phase != FistPhase::grading);
}

void FistControls::show_senders(const std::vector<fist::HeardTone>& tones, double graded_hz) {
    QStringList words;
    int graded = 0;
    for (std::size_t i = 0; i < tones.size(); ++i) {
        words << tr("%1 Hz, %2 dB")
                     .arg(std::lround(tones[i].pitch_hz))
                     .arg(std::lround(std::min(tones[i].snr_2500hz_db, 99.0)));
        const auto off = [&](std::size_t n) { return std::abs(tones[n].pitch_hz - graded_hz); };
        if (off(i) < off(static_cast<std::size_t>(graded))) graded = static_cast<int>(i);
    }
    if (words.isEmpty()) words << tr("none yet");
    // An open list is not changed under the hand.
    if (sender_->view()->isVisible()) return;
    while (sender_->count() > words.size()) sender_->removeItem(sender_->count() - 1);
    for (int i = 0; i < words.size(); ++i) {
        if (i >= sender_->count()) sender_->addItem(words[i]);
        if (sender_->itemText(i) != words[i]) sender_->setItemText(i, words[i]);
        const auto at = static_cast<std::size_t>(i);
        sender_->setItemData(i, at < tones.size() ? tones[at].pitch_hz : 0.0);
    }
    sender_->setCurrentIndex(graded);
    sender_->setEnabled(tones.size() > 1);
}

}  // namespace skedlark::gui
