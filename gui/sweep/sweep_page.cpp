#include "gui/sweep/sweep_page.h"

#include <QHeaderView>
#include <QKeyEvent>
#include <QScrollArea>
#include <QVBoxLayout>

namespace skedlark::gui {

SweepPage::SweepPage(DeskState& desk, QWidget* parent)
    : Page(desk, parent),
      controls_(new SweepControls(desk, this)),
      start_(new QPushButton(tr("Start"), this)),
      picture_(new SweepPicture(this)),
      curve_(new WhereCurve(this)),
      pace_(new Readout(tr("Where the dial should be"), this)),
      way_back_(new Readout(tr("Way back to the station"), this)),
      table_(new QTableWidget(0, 8, this)),
      caution_(new QLabel(
          tr("Set the headphones low before a sweep: a strong station comes up suddenly."), this)),
      says_(new QLabel(this)),
      map_says_(new QLabel(this)) {
    start_->setAccessibleName(tr("Start or stop the sweep"));
    table_->setAccessibleName(tr("Stations met"));
    says_->setAccessibleName(tr("How the sweep goes"));
    map_says_->setAccessibleName(tr("The map and the next stretch"));
    way_back_->set_large_words(true);
    way_back_->hide();
    table_->setHorizontalHeaderLabels({tr("No."), tr("Division"), tr("95 %"), tr("MHz"), tr("Kind"),
                                       tr("dB"), tr("By chance"), tr("Call")});
    table_->verticalHeader()->hide();
    table_->horizontalHeader()->setSectionResizeMode(QHeaderView::ResizeToContents);
    table_->horizontalHeader()->setStretchLastSection(true);
    table_->setSelectionBehavior(QAbstractItemView::SelectRows);
    table_->setSelectionMode(QAbstractItemView::SingleSelection);
    table_->setEditTriggers(QAbstractItemView::NoEditTriggers);
    for (QLabel* label : {caution_, says_, map_says_}) label->setWordWrap(true);
    lay_out();
    table_->installEventFilter(this);
    start_->installEventFilter(this);
    setFocusPolicy(Qt::StrongFocus);
    connect(start_, &QPushButton::clicked, this, [this] { running() ? stop() : start(); });
    connect(&desk, &DeskState::receiver_changed, controls_, &SweepControls::take_receiver);
    connect(&desk, &DeskState::card_changed, controls_, &SweepControls::take_card);
    restyle();
}

// Before the hub goes: a sweep that runs is concluded, and its map kept.
SweepPage::~SweepPage() {
    stop();
    if (zero_in_) desk().hub().leave(zero_in_);
}

void SweepPage::lay_out() {
    // Large type on a small screen: nothing is squeezed, the page is moved instead.
    auto* scroll = new QScrollArea(this);
    auto* content = new QWidget;
    scroll->setWidgetResizable(true);
    scroll->setFrameShape(QFrame::NoFrame);
    scroll->setFocusPolicy(Qt::NoFocus);
    auto* outer = new QVBoxLayout(this);
    outer->setContentsMargins(0, 0, 0, 0);
    outer->addWidget(scroll);
    auto* all = new QVBoxLayout(content);
    auto* top = new QHBoxLayout;
    top->addWidget(controls_, 1);
    top->addWidget(start_);
    all->addLayout(top);
    auto* middle = new QHBoxLayout;
    auto* dial = new QVBoxLayout;
    dial->setSpacing(0);
    dial->addWidget(picture_, 3);
    dial->addWidget(curve_, 1);
    middle->addLayout(dial, 3);
    auto* side = new QVBoxLayout;
    side->addWidget(pace_);
    side->addWidget(way_back_);
    side->addWidget(says_);
    side->addWidget(map_says_);
    side->addWidget(caution_);
    side->addStretch();
    middle->addLayout(side, 1);
    all->addLayout(middle, 3);
    all->addWidget(table_, 1);
    scroll->setWidget(content);
}

std::vector<KeyLine> SweepPage::keys() const {
    return {{tr("S"), tr("starts the sweep, or stops it")},
            {tr("Space"), tr("marks a division as the dial passes it")},
            {tr("Backspace"), tr("takes the last mark back")},
            {tr("Up, Down"), tr("choose a station in the table")},
            {tr("Enter"), tr("leads the way back to the chosen station")}};
}

bool SweepPage::running() const { return sweep_ && sweep_->state().phase != SweepPhase::over; }

void SweepPage::start() {
    if (running()) return;
    const HubState hub = desk().hub().state();
    const auto dial = controls_->dial();
    if (!dial) return says_->setText(QString::fromStdString(dial.error().message));
    const bool live = hub.phase == HubPhase::idle || hub.phase == HubPhase::failed
                          ? desk().settings().on("input/live")
                          : hub.input.live;
    if (!live && hub.input.name.empty())
        return says_->setText(tr("Input: none is open; open a sound input or a file first."));
    const SweepSetup setup = controls_->setup(live, *dial);
    if (const Status right = check(setup, *dial); !right)
        return says_->setText(QString::fromStdString(right.error().message));
    if (zero_in_) desk().hub().leave(zero_in_);
    zero_in_.reset();
    way_back_->hide();
    sweep_ = std::make_shared<SweepUser>(*dial, setup);
    clicks_ = 0;
    const DivAxis axis(setup.from_div, setup.to_div);
    picture_->clear(axis);
    curve_->set_axis(axis);
    if (hub.input.live && hub.phase == HubPhase::listening) {
        desk().hub().join(sweep_);
    } else {
        // A file is swept from its beginning.
        desk().hub().stop();
        desk().hub().join(sweep_);
        const Settings& settings = desk().settings();
        InputChoice choice;
        choice.live = live;
        choice.device = settings.text("input/device").toStdString();
        choice.file = hub.input.name;
        choice.channel = settings.value("input/channel").toInt();
        choice.pace = settings.number("input/pace");
        if (live && settings.on("record/on"))
            choice.record_folder = settings.text("record/folder").toStdString();
        desk().hub().open(choice);
    }
    setFocus();
    show_sweep();
}

void SweepPage::stop() {
    if (!sweep_) return;
    desk().hub().leave(sweep_);
    sweep_->end();
    show_sweep();
}

void SweepPage::zero_in(int row) {
    if (!sweep_ || row < 0 || row >= static_cast<int>(rows_.size())) return;
    stop();
    auto made = ZeroInUser::create(sweep_->dial(), rows_[static_cast<std::size_t>(row)].at_div,
                                   sweep_->setup().calls);
    if (!made) return says_->setText(QString::fromStdString(made.error().message));
    if (zero_in_) desk().hub().leave(zero_in_);
    zero_in_ = *made;
    pitch_told_ = false;
    desk().hub().join(zero_in_);
    way_back_->show();
    show_zero_in();
}

bool SweepPage::take_key(const QKeyEvent& event) {
    if (event.modifiers() & (Qt::ControlModifier | Qt::AltModifier)) return false;
    switch (event.key()) {
        case Qt::Key_Space:
            return running() && sweep_->mark();
        case Qt::Key_Backspace:
            return running() && sweep_->take_mark_back();
        case Qt::Key_S:
            running() ? stop() : start();
            return true;
        case Qt::Key_Return:
        case Qt::Key_Enter:
            if (!table_->hasFocus()) return false;
            zero_in(table_->currentRow());
            return true;
        default:
            return false;
    }
}

bool SweepPage::eventFilter(QObject* watched, QEvent* event) {
    if (event->type() == QEvent::KeyPress && take_key(*static_cast<QKeyEvent*>(event))) return true;
    return Page::eventFilter(watched, event);
}

void SweepPage::keyPressEvent(QKeyEvent* event) {
    if (!take_key(*event)) Page::keyPressEvent(event);
}

void SweepPage::refresh(bool shown) {
    if (sweep_ && (shown || running())) show_sweep();
    if (zero_in_) show_zero_in();
}

void SweepPage::show_sweep() {
    const SweepState state = sweep_->state();
    const SweepSetup& setup = sweep_->setup();
    if (state.clicks > clicks_ && controls_->clicks() && on_click) on_click();
    clicks_ = state.clicks;
    const bool over = state.phase == SweepPhase::over;
    start_->setText(over ? tr("Start") : tr("Stop"));
    controls_->setEnabled(over);
    picture_->add(sweep_->take_columns());
    picture_->set_dial(over ? std::nullopt : state.dial_div);
    curve_->set_map(state.map);
    pace_->show_text(text_of(pace_view(state, setup)));
    const auto rows = station_rows(state);
    fill_table(rows);
    picture_->set_stations(rows, table_->currentRow());
    std::string says = state_words(state, setup);
    const std::string failure = desk().hub().state().failure;
    if (!failure.empty()) says += " Input: " + failure;
    if (!state.map_problem.empty()) says += " Map: " + state.map_problem;
    says_->setText(QString::fromStdString(says));
    map_says_->setText(
        QString::fromStdString(map_words(state) + " " + next_words(state, sweep_->dial())));
}

void SweepPage::fill_table(const std::vector<StationRow>& rows) {
    bool same = rows.size() == rows_.size();
    for (std::size_t n = 0; same && n < rows.size(); ++n)
        same = rows[n].best == rows_[n].best && rows[n].div == rows_[n].div;
    if (same) return;
    rows_ = rows;
    table_->setRowCount(static_cast<int>(rows.size()));
    int best = table_->currentRow();
    for (int n = 0; n < table_->rowCount(); ++n) {
        const StationRow& row = rows[static_cast<std::size_t>(n)];
        const std::string number = row.best ? row.number + " best" : row.number;
        int column = 0;
        for (const std::string& text :
             {number, row.div, row.interval, row.mhz, row.kind, row.snr_db, row.odds, row.call}) {
            auto* item = new QTableWidgetItem(QString::fromStdString(text));
            item->setData(Qt::AccessibleTextRole, QString::fromStdString(in_words(row)));
            table_->setItem(n, column++, item);
        }
        if (row.best) best = n;
    }
    if (best >= 0) table_->selectRow(best);
}

void SweepPage::show_zero_in() {
    const ZeroInState state = zero_in_->state();
    way_back_->show_text(text_of(zero_in_view(state)));
    if (!state.held || pitch_told_) return;
    pitch_told_ = true;
    desk().want_pitch(state.held_hz);
    desk().want_page(PageName::copy);
}

void SweepPage::restyle() {
    const Theme theme = desk().theme();
    picture_->restyle(theme);
    curve_->restyle(theme, picture_->left_px());
    pace_->restyle(theme);
    way_back_->restyle(theme);
    table_->setMinimumHeight(4 * QFontMetrics(theme.body()).height());
}

}  // namespace skedlark::gui
