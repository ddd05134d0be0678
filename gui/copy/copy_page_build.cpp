// The parts of the Copy page and where they stand.
#include <QHBoxLayout>
#include <QScrollArea>
#include <QScrollBar>
#include <QShortcut>
#include <QVBoxLayout>

#include "gui/copy/copy_page.h"

namespace skedlark::gui {

namespace {

QPlainTextEdit* read_only(const QString& name, QWidget* parent) {
    auto* view = new QPlainTextEdit(parent);
    view->setReadOnly(true);
    view->setTabChangesFocus(true);
    view->setAccessibleName(name);
    view->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    return view;
}

QLabel* wrapped(const QString& name, QWidget* parent) {
    auto* label = new QLabel(parent);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    label->setAccessibleName(name);
    return label;
}

}  // namespace

void CopyPage::build() {
    halves_ = new QSplitter(Qt::Horizontal, this);
    halves_->addWidget(make_left());
    halves_->addWidget(make_right());
    halves_->setStretchFactor(0, 3);
    halves_->setStretchFactor(1, 2);
    halves_->setChildrenCollapsible(false);
    auto* all = new QVBoxLayout(this);
    all->setContentsMargins(6, 6, 6, 6);
    all->addWidget(halves_);
    const auto shortcut = [this](const QKeySequence& keys, auto&& does) {
        auto* key = new QShortcut(keys, this);
        connect(key, &QShortcut::activated, this, does);
    };
    shortcut(Qt::CTRL | Qt::Key_Return, [this] { sending_->toggle(); });
    shortcut(Qt::CTRL | Qt::Key_R, [this] {
        tabs_->setCurrentIndex(tabs_->indexOf(again_area_));
        again_->read_again();
    });
    shortcut(Qt::CTRL | Qt::Key_P, [this] { again_->play(); });
    shortcut(Qt::CTRL | Qt::Key_S, [this] {
        tabs_->setCurrentIndex(tabs_->indexOf(save_area_));
        save_->take_focus();
    });
}

QWidget* CopyPage::make_left() {
    auto* left = new QWidget(this);
    page_ = new RuledPage(model_, left);
    readings_ = wrapped(tr("Other readings"), left);
    correction_ = new QLineEdit(left);
    correction_->setAccessibleName(tr("Correction of the character pointed at"));
    correction_->setEnabled(false);
    auto* label = new QLabel(tr("&Correct to"), left);
    label->setBuddy(correction_);
    sending_ = new QPushButton(tr("I am &sending"), left);
    sending_->setCheckable(true);
    sending_->setAccessibleName(tr("I am sending"));
    auto* row = new QHBoxLayout;
    row->addWidget(label);
    row->addWidget(correction_, 1);
    row->addWidget(sending_);
    auto* column = new QVBoxLayout(left);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(page_, 1);
    column->addWidget(readings_);
    column->addLayout(row);
    return left;
}

QScrollArea* CopyPage::add_tab(QWidget* panel, const QString& name) {
    auto* area = new QScrollArea(tabs_);
    area->setWidgetResizable(true);
    area->setFrameShape(QFrame::NoFrame);
    area->setWidget(panel);
    area->setFocusPolicy(Qt::NoFocus);
    tabs_->addTab(area, name);
    return area;
}

QWidget* CopyPage::make_right() {
    auto* right = new QWidget(this);
    numbers_ = wrapped(tr("Pitch, speed, level, drift"), right);
    text_ = read_only(tr("Copied text"), right);
    count_ = wrapped(tr("Count of groups"), right);
    tabs_ = new QTabWidget(right);
    tabs_->setAccessibleName(tr("What can be done with the copy"));
    tabs_->setUsesScrollButtons(true);
    // The arrows need the room that buttons with words have beside theirs.
    tabs_->setStyleSheet("QTabBar QToolButton { padding: 0px; }");

    auto* message = new QWidget(tabs_);
    doubtful_ = read_only(tr("Doubtful groups"), message);
    request_ = new QLineEdit(message);
    request_->setReadOnly(true);
    request_->setAccessibleName(tr("Request to repeat"));
    auto* asks = new QHBoxLayout;
    asks->addWidget(new QLabel(tr("Ask:"), message));
    asks->addWidget(request_, 1);
    auto* column = new QVBoxLayout(message);
    column->setContentsMargins(4, 4, 4, 4);
    column->addWidget(doubtful_, 1);
    column->addLayout(asks);
    tabs_->addTab(message, tr("Dou&bts"));

    tones_ = new QListWidget(tabs_);
    tones_->setAccessibleName(tr("Other tones; Return follows one"));
    tones_->setWordWrap(true);
    tabs_->addTab(tones_, tr("T&ones"));
    again_ = new AgainPanel(desk().settings());
    again_area_ = add_tab(again_, tr("&Again"));
    listen_ = new ListenPanel(desk().settings(), ListenPanel::Use::kept);
    add_tab(listen_, tr("&Listen"));
    save_ = new SavePanel;
    save_area_ = add_tab(save_, tr("Sa&ve"));
    notes_ = read_only(tr("Notes"), tabs_);
    tabs_->addTab(notes_, tr("&Notes"));

    auto* rows = new QVBoxLayout(right);
    rows->setContentsMargins(0, 0, 0, 0);
    rows->addWidget(numbers_);
    rows->addWidget(text_, 3);
    rows->addWidget(count_);
    rows->addWidget(tabs_, 3);
    return right;
}

void CopyPage::restyle() {
    const Theme theme = desk().theme();
    page_->set_theme(theme);
    for (QPlainTextEdit* view : {text_, doubtful_}) view->setFont(theme.copy_text());
    QFont strong = theme.body();
    strong.setBold(true);
    numbers_->setFont(strong);
    shown_revision_ = ~std::uint64_t{0};
    show_pointed();
    show_marked();
}

std::size_t CopyPage::groups_in_a_row() const {
    // "  12 KLMNO?": eleven columns a group.
    const int column = QFontMetrics(text_->font()).horizontalAdvance(QString(11, 'M'));
    const int margin = static_cast<int>(2.0 * text_->document()->documentMargin());
    const int width = text_->viewport()->width() - margin;
    return static_cast<std::size_t>(std::clamp(width / std::max(1, column), 1, 5));
}

}  // namespace skedlark::gui
