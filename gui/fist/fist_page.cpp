#include "gui/fist/fist_page.h"

#include <QShortcut>
#include <cmath>

#include "dsp/core/utc.h"

namespace skedlark::gui {

namespace {

QString of(const std::string& text) { return QString::fromStdString(text); }

// Names small, values beneath: to be read at arm's length, in lines as words are.
QString figures_html(const std::vector<Figure>& figures) {
    QString out;
    for (const Figure& one : figures) {
        const bool large = one.name == "Score" || one.name == "Speed";
        out += QString(large ? "%1&nbsp;<b style='font-size:x-large'>%2</b>%3 &nbsp; "
                             : "%1&nbsp;<b>%2</b>%3 &nbsp; ")
                   .arg(of(one.name).toHtmlEscaped().replace(' ', "&nbsp;"),
                        of(one.value).toHtmlEscaped().replace(' ', "&nbsp;"),
                        one.wanted.empty() || one.name == "Score"
                            ? QString()
                            : QString("&nbsp;(%1)").arg(of(one.wanted).toHtmlEscaped()));
    }
    return out;
}

}  // namespace

FistPage::FistPage(DeskState& desk, QWidget* parent, const std::string& log_file)
    : Page(desk, parent), model_(log_file) {
    setFocusPolicy(Qt::StrongFocus);
    make_layout(log_file);
    wire();
    controls_->set_who(desk.settings().text("fist/who"));
    take_who();
    desk.hub().join(model_.user());
    restyle();
}

FistPage::~FistPage() { desk().hub().leave(model_.user()); }

void FistPage::wire() {
    connect(controls_, &FistControls::begin_or_end, this, &FistPage::begin_or_end);
    connect(controls_, &FistControls::who_changed, this, [this] {
        desk().settings().set("fist/who", controls_->who());
        take_who();
    });
    connect(controls_, &FistControls::file_wanted, this, [this] {
        take_who();
        model_.grade_file(controls_->file());
    });
    connect(controls_, &FistControls::sender_wanted, this,
            [this](double pitch_hz) { model_.choose_sender(pitch_hz); });
    connect(text_, &TextPanel::changed, this, &FistPage::take_text);
    connect(text_, &TextPanel::file_read, this,
            [this](const QByteArray& bytes, const QString& name) {
                const Status taken = model_.set_text(bytes.toStdString(), name.toStdString());
                if (taken) text_->set_text(QString::fromUtf8(bytes).trimmed());
                text_->say(taken ? QString() : of(taken.error().message));
            });
    connect(tabs_, &QTabWidget::currentChanged, this, &FistPage::show_practice);
    practice_->sending().on_sent =
        [this](const std::string& text, const std::vector<fist::KeyMark>& marks, double edge_sd_s) {
            text_->set_text(of(text));
            model_.grade_key(marks, edge_sd_s);
        };
    connect(faults_, &RowTable::pointed, this, &FistPage::show_place);
    connect(faults_, &RowTable::chosen, this, [this](int row) {
        show_place(row);
        play();
    });
    connect(play_, &QPushButton::clicked, this, &FistPage::play);
    const auto key = [this](const QKeySequence& keys, auto does) {
        auto* shortcut = new QShortcut(keys, this);
        shortcut->setContext(Qt::WidgetWithChildrenShortcut);
        shortcut->setAutoRepeat(false);
        connect(shortcut, &QShortcut::activated, this, does);
    };
    key(Qt::CTRL | Qt::Key_Return, [this] { begin_or_end(); });
    key(Qt::CTRL | Qt::Key_P, [this] { play(); });
    key(Qt::CTRL | Qt::Key_G, [this] { model_.grade_again(); });
}

// Practice has the page to itself, but for the name and the tabs.
void FistPage::show_practice() {
    const bool practising = tabs_->currentWidget() == practice_;
    for (QWidget* part : {halves_->widget(1), static_cast<QWidget*>(state_),
                          static_cast<QWidget*>(figures_), static_cast<QWidget*>(strip_)}) {
        part->setVisible(!practising);
    }
}

void FistPage::begin_or_end() {
    const FistPhase phase = model_.phase();
    if (phase == FistPhase::grading) return;
    if (phase == FistPhase::waiting || phase == FistPhase::measuring) {
        model_.stop();
        return;
    }
    take_who();
    model_.start();
}

void FistPage::take_who() {
    model_.set_who(controls_->who().toStdString());
    practice_->set_who(controls_->who().toStdString());
}

void FistPage::take_text() {
    const Status taken = model_.set_text(text_->text().toStdString(), "text");
    text_->say(taken ? QString() : of(taken.error().message));
}

std::optional<double> FistPage::pitch_hz() const {
    const bool measuring = model_.phase() == FistPhase::measuring;
    if (measuring && model_.live().pitch_hz > 0.0) return model_.live().pitch_hz;
    const fist::Grade* grade = model_.grade();
    if (grade == nullptr || !(grade->pitch_hz > 0.0)) return std::nullopt;
    return grade->pitch_hz;
}

void FistPage::refresh(bool shown) {
    model_.refresh(desk().now());
    if (shown && practice_->isVisible()) practice_->refresh();
    if (!shown || model_.revision() == shown_revision_) return;
    shown_revision_ = model_.revision();
    show_all();
}

void FistPage::show_all() {
    controls_->show_phase(model_.phase());
    const auto senders = model_.senders();
    controls_->show_senders(senders, pitch_hz().value_or(0.0));
    state_->setText(of(model_.state_words()));
    show_figures();
    if (shown_attempt_ != model_.attempt()) {
        shown_attempt_ = model_.attempt();
        show_faults();
    }
    trend_->show_weeks(model_.weeks(), of(model_.history_words()));
}

void FistPage::show_figures() {
    const fist::Grade* grade = model_.grade();
    figures_->setText(grade == nullptr ? tr("No figures yet.") : figures_html(figures_of(*grade)));
    static const fist::Grade kNone{};
    const fist::Grade& of_what = grade == nullptr ? kNone : *grade;
    const double unit_s = of_what.statistics.unit_s;
    marks_->show_bins(fist::mark_bins(of_what.keying, unit_s));
    gaps_->show_bins(fist::gap_bins(of_what.keying, of_what.sending, unit_s));
    rhythm_->show_line(std::isfinite(unit_s)
                           ? fist::rhythm_line(of_what.keying, of_what.sending, unit_s)
                           : std::vector<fist::RhythmPoint>{});
    std::vector<std::vector<std::string>> parts;
    if (grade != nullptr) {
        for (const ScoreRow& row : score_rows(*grade)) {
            parts.push_back({row.part, row.kept, row.misread, row.machine});
        }
    }
    score_->show_rows(parts);
}

void FistPage::show_faults() {
    fault_rows_.clear();
    std::vector<std::vector<std::string>> characters;
    const bool graded = shown_attempt_ && shown_attempt_->grade;
    if (graded) {
        fault_rows_ = fault_rows(*shown_attempt_->grade);
        for (const CharacterRow& row : character_rows(*shown_attempt_)) {
            characters.push_back(
                {row.name, row.sent, row.right, row.sounded_like, row.off, row.rhythm});
        }
    }
    std::vector<std::vector<std::string>> cells;
    for (const FaultRow& row : fault_rows_) cells.push_back({row.time, row.whose, row.what});
    faults_->show_rows(cells);
    characters_->show_rows(characters);
    counts_->setText(graded ? of(fault_count_words(fault_rows_)) : tr("Faults stand here."));
    summary_->setText(shown_attempt_ ? of(summary_words(*shown_attempt_)) : QString());
    const bool any = !fault_rows_.empty();
    if (any) faults_->setCurrentCell(0, 0);
    show_place(any ? 0 : -1);
}

void FistPage::show_place(int row) {
    const bool any = row >= 0 && row < static_cast<int>(fault_rows_.size());
    const FaultRow* fault = any ? &fault_rows_[static_cast<std::size_t>(row)] : nullptr;
    advice_->setText(any ? of(fault->what + ". " + fault->advice) : QString());
    const bool graded = shown_attempt_ && shown_attempt_->grade;
    strip_->show_strip(graded ? strip_about(*shown_attempt_->grade, any ? &fault->place : nullptr)
                              : KeyingStrip{});
    play_->setEnabled(graded && !shown_attempt_->audio.empty() && static_cast<bool>(on_play));
}

void FistPage::play() {
    if (!on_play || !shown_attempt_ || shown_attempt_->audio.empty()) return;
    const KeyingStrip& strip = strip_->strip();
    if (strip.marks.empty()) return;
    const double from_s = strip.has_place ? strip.place.from_s - kHeardBesideS : strip.from_s;
    const double to_s = strip.has_place ? strip.place.to_s + kHeardBesideS : strip.to_s;
    on_play(shown_attempt_->stretch(from_s, to_s));
}

std::vector<KeyLine> FistPage::keys() const {
    std::vector<KeyLine> out = {
        {tr("Ctrl+Return"), tr("begins an attempt; ends it, and grades it")},
        {tr("Up, Down"), tr("through the faults; the strip shows the place")},
        {tr("Return"), tr("on a fault: plays the place")},
        {tr("Ctrl+P"), tr("plays the place shown")},
        {tr("Ctrl+G"), tr("grades the same sending again, against the text as it is now")},
        {tr("Alt+letter"), tr("the tabs and fields, by the letter underlined")}};
    for (const KeyLine& line : PracticePanel::keys()) out.push_back(line);
    return out;
}

}  // namespace skedlark::gui
