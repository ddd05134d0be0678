#include "gui/copy/again_panel.h"

#include <QGridLayout>
#include <QVBoxLayout>
#include <algorithm>

#include "gui/copy/copy_model.h"

namespace skedlark::gui {

namespace {

// Around the stretch: the speed and the level are learned from what stands beside it.
constexpr double kAroundS = 20.0;

QLabel* wrapped_label(const QString& name, QWidget* parent) {
    auto* label = new QLabel(parent);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    label->setAccessibleName(name);
    label->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    return label;
}

}  // namespace

AgainPanel::AgainPanel(Settings& settings, QWidget* parent)
    : QWidget(parent),
      what_(wrapped_label(tr("Marked stretch"), this)),
      result_(wrapped_label(tr("Read again"), this)),
      settings_(new ListenPanel(settings, ListenPanel::Use::stretch, this)),
      read_(new QPushButton(tr("&Read"), this)),
      play_(new QPushButton(tr("Pla&y"), this)),
      take_(new QPushButton(tr("&Take over"), this)),
      own_(new QPushButton(tr("This was &mine"), this)) {
    auto* buttons = new QGridLayout;
    buttons->addWidget(read_, 0, 0);
    buttons->addWidget(play_, 0, 1);
    buttons->addWidget(take_, 1, 0);
    buttons->addWidget(own_, 1, 1);
    for (QPushButton* button : {read_, play_, take_, own_}) {
        button->setAccessibleName(button->text().remove('&'));
        // Narrow panels with large type rather clip a blank than scroll sideways.
        button->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Fixed);
    }
    read_->setAccessibleName(tr("Read the marked stretch again"));
    own_->setAccessibleName(tr("The marked stretch was my own sending"));
    auto* column = new QVBoxLayout(this);
    column->setContentsMargins(4, 4, 4, 4);
    column->addWidget(what_);
    column->addLayout(buttons);
    column->addWidget(result_);
    column->addWidget(settings_);
    column->addStretch(1);
    connect(read_, &QPushButton::clicked, this, &AgainPanel::read_again);
    connect(play_, &QPushButton::clicked, this, &AgainPanel::play);
    connect(take_, &QPushButton::clicked, this, &AgainPanel::take_over);
    connect(own_, &QPushButton::clicked, this, [this] {
        if (marked_) emit own_sending(*marked_);
    });
    show_state();
}

void AgainPanel::set_marked(std::optional<Stretch> stretch, const QString& first, double pitch_hz) {
    marked_ = stretch;
    first_ = first;
    if (pitch_hz > 0.0) settings_->set_pitch(pitch_hz);
    if (!again_.working()) {
        text_.clear();
        result_->clear();
    }
    show_state();
}

void AgainPanel::show_state() {
    if (marked_) {
        const double from_s = seconds_from_frames(marked_->from);
        const double long_s = seconds_from_frames(marked_->to - marked_->from);
        what_->setText(tr("From %1, %2 s long. Read first: %3")
                           .arg(QString::fromStdString(clock_words(from_s)))
                           .arg(long_s, 0, 'f', 1)
                           .arg(first_.isEmpty() ? tr("nothing") : first_));
    } else {
        what_->setText(
            tr("Nothing is marked. Mark a stretch of the page with Shift and the arrow "
               "keys, or by dragging; the last ten minutes can be read again."));
    }
    read_->setEnabled(marked_.has_value() && !again_.working());
    play_->setEnabled(marked_.has_value() && static_cast<bool>(on_play));
    take_->setEnabled(!text_.isEmpty());
    own_->setEnabled(marked_.has_value());
}

void AgainPanel::read_again() {
    if (!marked_ || again_.working()) return;
    const FrameIndex around = frames_from_seconds(kAroundS);
    const FrameIndex from = std::max<FrameIndex>(0, marked_->from - around);
    std::vector<float> audio = audio_of({from, marked_->to + around});
    if (audio.empty()) {
        result_->setText(tr("This stretch is older than ten minutes: its audio is not kept."));
        return;
    }
    // What is kept may begin later than was asked for.
    const std::vector<float> before = audio_of({from, marked_->from});
    reading_ = *marked_;
    text_.clear();
    again_.start(std::move(audio), marked_->from - static_cast<FrameIndex>(before.size()),
                 settings_->chosen().watch);
    result_->setText(tr("Reading ..."));
    show_state();
}

void AgainPanel::refresh() {
    const auto read = again_.result();
    if (!read) return;
    std::vector<Copied> inside;
    for (const Copied& one : read->characters) {
        const FrameIndex middle =
            one.read.from_frame + (one.read.to_frame - one.read.from_frame) / 2;
        if (middle >= reading_.from && middle < reading_.to) inside.push_back(one);
    }
    text_ = QString::fromStdString(text_as_read(inside));
    if (!read->failure.empty()) {
        result_->setText(QString::fromStdString(read->failure));
    } else if (text_.isEmpty()) {
        result_->setText(tr("Read again: no character"));
    } else {
        const auto least = std::min_element(
            inside.begin(), inside.end(),
            [](const Copied& a, const Copied& b) { return a.read.confidence < b.read.confidence; });
        result_->setText(tr("Read again: %1 (least sure: %2 %)")
                             .arg(text_)
                             .arg(qRound(100.0 * least->read.confidence)));
    }
    show_state();
}

void AgainPanel::play() {
    if (marked_ && on_play) on_play(audio_of(*marked_));
}

void AgainPanel::take_over() {
    if (text_.isEmpty()) return;
    emit taken_over(reading_, text_);
    result_->setText(tr("Taken over: %1").arg(text_));
    text_.clear();
    show_state();
}

}  // namespace skedlark::gui
