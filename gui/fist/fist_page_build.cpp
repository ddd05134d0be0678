// The parts of the Fist page and where they stand.
#include <QHBoxLayout>
#include <QScrollArea>
#include <QVBoxLayout>

#include "dsp/morse/timing.h"
#include "gui/fist/fist_page.h"

namespace skedlark::gui {

namespace {

QLabel* wrapped(const QString& name, QWidget* parent) {
    auto* label = new QLabel(parent);
    label->setWordWrap(true);
    label->setAccessibleName(name);
    return label;
}

QWidget* column_of(std::initializer_list<QWidget*> parts, QWidget* parent) {
    auto* all = new QWidget(parent);
    auto* rows = new QVBoxLayout(all);
    rows->setContentsMargins(0, 2, 0, 0);
    rows->setSpacing(2);
    for (QWidget* part : parts) rows->addWidget(part);
    return all;
}

}  // namespace

void FistPage::make_layout(const std::string& log_file) {
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
    controls_ = new FistControls(content);
    rows->addWidget(controls_);
    state_ = wrapped(tr("How the attempt goes"), content);
    state_->setTextFormat(Qt::PlainText);
    rows->addWidget(state_);
    figures_ = wrapped(tr("Figures of the sending"), content);
    figures_->setTextFormat(Qt::RichText);
    rows->addWidget(figures_);
    halves_ = new QSplitter(Qt::Horizontal, content);
    halves_->addWidget(make_tabs(log_file));
    halves_->addWidget(make_faults());
    halves_->setStretchFactor(0, 5);
    halves_->setStretchFactor(1, 4);
    halves_->setChildrenCollapsible(false);
    // What it would like is the whole screen; it takes what is left, and no less than restyle() says.
    halves_->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Ignored);
    rows->addWidget(halves_, 1);
    strip_ = new StripView(content);
    rows->addWidget(strip_);
}

QWidget* FistPage::make_tabs(const std::string& log_file) {
    tabs_ = new QTabWidget(this);
    tabs_->setAccessibleName(tr("What is shown of the sending"));
    tabs_->setUsesScrollButtons(true);
    // The arrows need the room that buttons with words have beside theirs.
    tabs_->setStyleSheet("QTabBar QToolButton { padding: 0px; }");
    text_ = new TextPanel(tabs_);
    tabs_->addTab(text_, tr("&Text"));
    marks_ = new LengthChart(tr("marks, dots (standard 1 and 3 dashed)"),
                             {morse::kDotUnits, morse::kDashUnits}, fist::kLongestMarkUnits, tabs_);
    gaps_ =
        new LengthChart(tr("gaps, dots (standard 1, 3 and 7 dashed)"),
                        {morse::kElementGapUnits, morse::kCharacterGapUnits, morse::kWordGapUnits},
                        fist::kLongestGapUnits, tabs_);
    tabs_->addTab(column_of({marks_, gaps_}, tabs_), tr("&Lengths"));
    rhythm_ = new RhythmChart(tabs_);
    tabs_->addTab(rhythm_, tr("R&hythm"));
    characters_ = new RowTable(tr("Characters, the hardest first"),
                               {tr("Character"), tr("Sent"), tr("Right"), tr("Sounded like"),
                                tr("Off"), tr("Mark (gap) mark, in dots")},
                               tabs_);
    tabs_->addTab(characters_, tr("&Characters"));
    score_ = new RowTable(tr("Parts of the score"),
                          {tr("Part"), tr("Kept"), tr("Misread"), tr("Machine")}, tabs_);
    summary_ = wrapped(tr("Summary"), tabs_);
    summary_->setTextFormat(Qt::PlainText);
    tabs_->addTab(column_of({score_, summary_}, tabs_), tr("&Score"));
    trend_ = new TrendPanel(tabs_);
    tabs_->addTab(trend_, tr("Tre&nd"));
    practice_ = new PracticePanel(desk(), tabs_, nullptr, log_file);
    tabs_->addTab(practice_, tr("&Practice"));
    return tabs_;
}

QWidget* FistPage::make_faults() {
    auto* all = new QWidget(this);
    auto* rows = new QVBoxLayout(all);
    rows->setContentsMargins(0, 0, 0, 0);
    rows->setSpacing(2);
    counts_ = wrapped(tr("Number of faults"), all);
    counts_->setTextFormat(Qt::PlainText);
    rows->addWidget(counts_);
    faults_ = new RowTable(tr("Faults; Return plays the place"),
                           {tr("Time"), tr("Whose"), tr("What")}, all);
    rows->addWidget(faults_, 1);
    auto* row = new QHBoxLayout;
    advice_ = wrapped(tr("What to do about it"), all);
    advice_->setTextFormat(Qt::PlainText);
    row->addWidget(advice_, 1);
    play_ = new QPushButton(tr("Play (Ctrl+P)"), all);
    play_->setAccessibleName(tr("Play the place"));
    play_->setEnabled(false);
    row->addWidget(play_, 0, Qt::AlignBottom);
    rows->addLayout(row);
    return all;
}

void FistPage::restyle() {
    const Theme theme = desk().theme();
    setFont(theme.body());
    controls_->restyle(theme);
    text_->restyle(theme);
    marks_->restyle(theme);
    gaps_->restyle(theme);
    rhythm_->restyle(theme);
    characters_->restyle(theme);
    score_->restyle(theme);
    trend_->restyle(theme);
    practice_->restyle(theme);
    faults_->restyle(theme);
    strip_->restyle(theme);
    halves_->setMinimumHeight(12 * QFontMetrics(theme.body()).height());
}

}  // namespace skedlark::gui
