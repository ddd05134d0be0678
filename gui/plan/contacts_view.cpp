#include "gui/plan/contacts_view.h"

#include <QHBoxLayout>
#include <QKeyEvent>
#include <QScrollBar>
#include <QVBoxLayout>
#include <algorithm>

namespace skedlark::gui {

ContactsView::ContactsView(DeskState& desk, QWidget* parent)
    : QWidget(parent),
      desk_(desk),
      line_(new TimeLineView(this)),
      list_(new QListWidget(this)),
      card_(new ContactCardView),
      scroll_(new QScrollArea(this)),
      sweep_(new QPushButton(tr("To the &sweep"), this)) {
    list_->setObjectName("contacts");
    list_->setAccessibleName(tr("Contacts due, the soonest first"));
    list_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    list_->setWordWrap(true);
    list_->installEventFilter(this);
    scroll_->setObjectName("card_scroll");
    scroll_->setAccessibleName(tr("Card of the chosen contact"));
    scroll_->setWidget(card_);
    scroll_->installEventFilter(this);
    scroll_->setWidgetResizable(true);
    scroll_->setFrameShape(QFrame::NoFrame);
    scroll_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    sweep_->setObjectName("to_sweep");
    sweep_->setAccessibleName(tr("Go to the sweep for the chosen contact"));

    auto* left = new QVBoxLayout;
    left->addWidget(list_, 1);
    left->addWidget(sweep_);
    auto* below = new QHBoxLayout;
    below->addLayout(left, 0);
    below->addWidget(scroll_, 1);
    auto* all = new QVBoxLayout(this);
    all->setContentsMargins(0, 0, 0, 0);
    all->addWidget(line_);
    all->addLayout(below, 1);

    connect(list_, &QListWidget::currentRowChanged, this, &ContactsView::choose);
    connect(sweep_, &QPushButton::clicked, this, &ContactsView::go_to_sweep);
    connect(&desk_, &DeskState::plan_changed, this, &ContactsView::take_plan);
    connect(&desk_, &DeskState::receiver_changed, this, &ContactsView::take_receiver);
    take_receiver();
    take_plan();
}

void ContactsView::refresh() {
    const auto second = std::chrono::floor<std::chrono::seconds>(desk_.now());
    if (shown_at_ == UtcTime(second)) return;
    shown_at_ = second;
    update_now();
}

void ContactsView::take_plan() {
    model_.set_plan(desk_.plan());
    update_now();
}

void ContactsView::take_receiver() {
    model_.set_receiver(desk_.receiver(), desk_.known());
    update_now();
}

void ContactsView::update_now() {
    model_.update(desk_.now());
    fill_list();
    show_card();
    hand_on_card();
}

void ContactsView::fill_list() {
    filling_ = true;
    const auto& cards = model_.cards();
    while (list_->count() > static_cast<int>(cards.size())) delete list_->takeItem(0);
    while (list_->count() < static_cast<int>(cards.size())) list_->addItem(QString());
    for (int i = 0; i < list_->count(); ++i) {
        const station::ContactCard& card = cards[static_cast<std::size_t>(i)];
        const QString text = QString::fromStdString(line_of(card));
        if (list_->item(i)->text() != text) list_->item(i)->setText(text);
    }
    const auto found = model_.find(chosen_contact_, chosen_start_);
    if (!found) chosen_contact_.clear();
    list_->setCurrentRow(cards.empty() ? -1 : static_cast<int>(found.value_or(0)));
    filling_ = false;
}

void ContactsView::choose(int row) {
    if (filling_ || row < 0 || row >= static_cast<int>(model_.cards().size())) return;
    const station::ContactCard& card = model_.cards()[static_cast<std::size_t>(row)];
    // The first one goes on being "the soonest".
    chosen_contact_ = row == 0 ? "" : card.contact;
    chosen_start_ = card.leg.start;
    show_card();
    hand_on_card();
}

void ContactsView::show_card() {
    const int row = list_->currentRow();
    const auto& cards = model_.cards();
    QStringList wrong;
    if (!model_.problem().empty()) wrong += QString::fromStdString(model_.problem());
    for (const auto& conflict : model_.conflicts()) wrong += QString::fromStdString(conflict.said);
    card_->show_conflicts(model_.has_plan() ? wrong : QStringList());
    sweep_->setEnabled(row >= 0);
    if (row >= 0) {
        card_->show_words(words_of(cards[static_cast<std::size_t>(row)]));
        line_->show_line(model_.time_line(), static_cast<std::size_t>(row));
        return;
    }
    line_->show_line(model_.time_line(), {});
    card_->show_nothing(!model_.has_plan()
                            ? tr("No plan is open. Ctrl+O, then the path of a plan file and Enter.")
                        : !model_.problem().empty() ? QString::fromStdString(model_.problem())
                                                    : tr("Nothing in this plan is due any more."));
}

// The other pages hear of it when it is another contact, another place on the dial or another stage,
// not at each second.
void ContactsView::hand_on_card() {
    const int row = list_->currentRow();
    const auto& before = desk_.card();
    if (row < 0) {
        if (before) desk_.set_card({});
        return;
    }
    const station::ContactCard& card = model_.cards()[static_cast<std::size_t>(row)];
    const auto division = [](const station::ContactCard& of) {
        return of.leg.dial ? std::optional(of.leg.dial->division) : std::nullopt;
    };
    if (before && before->contact == card.contact && before->leg.start == card.leg.start &&
        before->stage == card.stage && before->leg.receive_khz == card.leg.receive_khz &&
        before->next_fallback == card.next_fallback && division(*before) == division(card)) {
        return;
    }
    desk_.set_card(card);
}

void ContactsView::go_to_sweep() {
    hand_on_card();
    desk_.want_page(PageName::sweep);
}

bool ContactsView::eventFilter(QObject* watched, QEvent* event) {
    if (watched == scroll_ && event->type() == QEvent::Resize) {
        card_->fit(scroll_->size() - QSize(scroll_->verticalScrollBar()->sizeHint().width(), 0));
    }
    if (watched == list_ && event->type() == QEvent::KeyPress) {
        const int key = static_cast<QKeyEvent*>(event)->key();
        if (key == Qt::Key_Return || key == Qt::Key_Enter) {
            if (list_->currentRow() >= 0) go_to_sweep();
            return true;
        }
    }
    return QWidget::eventFilter(watched, event);
}

void ContactsView::restyle() {
    const Theme theme = desk_.theme();
    list_->setFont(theme.body());
    sweep_->setFont(theme.body());
    // Wide enough for a day, an hour and a call; the type may be larger than the page allows.
    const int wanted = QFontMetrics(theme.body()).horizontalAdvance("Wed 26 Nov 18:30  QXB2 mm");
    list_->setMinimumWidth(std::min(wanted, 320));
    list_->setMaximumWidth(wanted);
    line_->restyle(theme);
    card_->restyle(theme);
}

}  // namespace skedlark::gui
