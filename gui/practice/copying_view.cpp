#include "gui/practice/copying_view.h"

#include <QRandomGenerator>
#include <QVBoxLayout>
#include <algorithm>

#include "dsp/core/units.h"
#include "gui/common/flow_layout.h"
#include "gui/practice/fields.h"

namespace skedlark::gui {

namespace {

constexpr double kNoNoise = -21.0;    // a step below the most noise stands for none
constexpr double kNoNeighbour = 0.0;  // nobody
constexpr double kAll = 1.0;          // a step below two characters stands for all

QString of(const std::string& text) { return QString::fromStdString(text); }

}  // namespace

CopyingView::CopyingView(DeskState& desk, PracticeLog& log, PracticeSound& sound, QWidget* parent)
    : QWidget(parent), desk_(desk), sound_(sound), drill_(log) {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(4, 4, 4, 4);
    auto* bar = new QWidget(this);
    new FlowLayout(bar);
    bar->layout()->setContentsMargins(0, 0, 0, 0);
    make_fields(*bar);
    rows->addWidget(bar);
    words_ = words_of(tr("How the copying drill goes"), this);
    rows->addWidget(words_);
    typed_ = page_of(tr("Your copy: typed now, or afterwards from paper"), false, this);
    typed_->setPlaceholderText(
        tr("Your copy: typed now, or afterwards from paper; _ for what you "
           "missed, [AR] for a procedure signal"));
    rows->addWidget(typed_, 2);
    result_ = page_of(tr("Marks of the copy"), true, this);
    result_->setLineWrapMode(QPlainTextEdit::NoWrap);
    rows->addWidget(result_, 3);
    say(tr("F6 plays a text that is not shown. Begin with the headphones turned low."));
}

void CopyingView::make_fields(QWidget& bar) {
    const Settings& settings = desk_.settings();
    kind_ = kind_field(&bar);
    add_pair(bar, tr("Copy"), *kind_, tr("Kind of text to copy"));
    count_ = number_field(1, fist::kMostDrillCount, 1, 0, &bar);
    count_->setValue(settings.number("practice/copy_count"));
    add_pair(bar, tr("how many"), *count_, tr("Groups, calls or sentences to copy"));
    level_ = number_field(fist::lowest_level(), fist::highest_level(), 0.5, 1, &bar);
    level_->setValue(settings.number("practice/level"));
    add_pair(bar, tr("groups a minute"), *level_, tr("Level, five-letter groups a minute"));
    characters_ = number_field(kMinSpeedWpm, kMaxSpeedWpm, 1, 0, &bar);
    characters_->setValue(settings.number("practice/character_wpm"));
    add_pair(
        bar, tr("characters at least"), *characters_,
        tr("Speed of the characters at least, words a minute; gaps are stretched to the level"));
    first_ = number_field(kAll, 26, 1, 0, &bar);
    first_->setSpecialValueText(tr("all"));
    add_pair(bar, tr("characters"), *first_,
             tr("Groups of so many characters: those you are surest of, then the shortest"));
    noise_ = number_field(kNoNoise, 40, 1, 0, &bar);
    noise_->setSpecialValueText(tr("no noise"));
    noise_->setValue(settings.number("practice/snr_db"));
    add_pair(bar, tr("dB over noise"), *noise_, tr("Tone over noise in 2500 Hz, dB"));
    fading_ = new QComboBox(&bar);
    fading_->addItem(tr("none"), "");
    for (const synth::NamedChannel& channel : synth::named_channels()) {
        const QString name =
            QString::fromUtf8(channel.name.data(), static_cast<qsizetype>(channel.name.size()));
        fading_->addItem(name, name);
    }
    add_pair(bar, tr("fading"), *fading_, tr("Fading"));
    neighbour_ = number_field(-1000, 1000, 50, 0, &bar);
    add_pair(bar, tr("neighbour, Hz"), *neighbour_,
             tr("Another sender, hertz above or below; 0 for nobody"));
    next_ = button_of(tr("Another (F5)"), tr("Another text, played"), &bar);
    again_ = button_of(tr("Again (F7)"), tr("Play the same again"), &bar);
    go_on_ = button_of(tr("Play (F6)"), tr("Play a text, or mark the copy"), &bar);
    for (QPushButton* button : {next_, again_, go_on_}) bar.layout()->addWidget(button);
    again_->setEnabled(false);
    connect(next_, &QPushButton::clicked, this, &CopyingView::begin);
    connect(again_, &QPushButton::clicked, this, &CopyingView::play_again);
    connect(go_on_, &QPushButton::clicked, this, &CopyingView::go_on);
    for (QDoubleSpinBox* field : {count_, level_, characters_, noise_})
        connect(field, &QDoubleSpinBox::valueChanged, this, &CopyingView::keep);
}

void CopyingView::keep() {
    Settings& settings = desk_.settings();
    settings.set("practice/copy_count", count_->value());
    settings.set("practice/level", level_->value());
    settings.set("practice/character_wpm", characters_->value());
    settings.set("practice/snr_db", noise_->value());
}

CopyingSettings CopyingView::chosen() const {
    CopyingSettings settings;
    settings.kind = fist::drill_kind_by_name(kind_->currentData().toString().toStdString())
                        .value_or(fist::DrillKind::groups);
    settings.count = static_cast<int>(count_->value());
    // The field shows a tenth only; the ends of the range are kept.
    settings.level = std::clamp(level_->value(), fist::lowest_level(), fist::highest_level());
    settings.character_wpm = characters_->value();
    settings.first = first_->value() > kAll ? static_cast<int>(first_->value()) : 0;
    if (noise_->value() > kNoNoise) settings.conditions.snr_2500hz_db = noise_->value();
    settings.conditions.fading = fading_->currentData().toString().toStdString();
    if (neighbour_->value() != kNoNeighbour) settings.conditions.neighbour_hz = neighbour_->value();
    settings.conditions.loudness_dbfs = kDrillLoudnessDbfs;
    return settings;
}

std::size_t CopyingView::columns() const {
    const int width = result_->viewport()->width() - 2 * static_cast<int>(10);
    const int column = QFontMetrics(result_->font()).horizontalAdvance('M');
    return static_cast<std::size_t>(std::clamp(width / std::max(1, column), 30, 120));
}

void CopyingView::take_who() { level_->setValue(drill_.next_level()); }

void CopyingView::begin() {
    if (const Status made = drill_.make(chosen(), QRandomGenerator::global()->generate64());
        !made) {
        say(of(made.error().message));
        return;
    }
    typed_->clear();
    result_->clear();
    go_on_->setText(tr("Mark (F6)"));
    again_->setEnabled(true);
    play_again();
    typed_->setFocus();
}

void CopyingView::play_again() {
    if (drill_.phase() == CopyingPhase::idle) return;
    sound_.play(drill_.audio());
    was_playing_ = true;
    say(tr("Playing %1 s. F6 marks your copy.").arg(drill_.seconds(), 0, 'f', 0) +
        (drill_.more_of().empty() ? QString()
                                  : tr(" More of what you mistake: %1").arg(of(drill_.more_of()))));
}

void CopyingView::go_on() {
    if (drill_.phase() != CopyingPhase::made) {
        begin();
        return;
    }
    const Status marked = drill_.mark(typed_->toPlainText().toStdString(), desk_.now());
    if (drill_.phase() != CopyingPhase::marked) {
        say(of(marked.error().message));
        return;
    }
    sound_.stop();
    was_playing_ = false;
    result_->setPlainText(of(drill_.result_words(columns())));
    const double next = drill_.next_level();
    say(tr("%1 % right. The next level is %2 groups a minute: about nine in ten should be right.")
            .arg(100.0 * drill_.score()->right_share(), 0, 'f', 0)
            .arg(next, 0, 'f', 1) +
        (marked ? QString() : tr(" Not logged: %1").arg(of(marked.error().message))));
    level_->setValue(next);
    go_on_->setText(tr("Play (F6)"));
    result_->setFocus();
}

void CopyingView::refresh() {
    if (!was_playing_ || sound_.is_playing()) return;
    was_playing_ = false;
    if (drill_.phase() == CopyingPhase::made)
        say(tr("That was all. F6 marks your copy, F7 plays it again."));
}

void CopyingView::restyle(const Theme& theme) {
    typed_->setFont(theme.copy_text());
    result_->setFont(theme.copy_text());
}

}  // namespace skedlark::gui
