#include "gui/plan/contact_card.h"

#include <QGridLayout>
#include <QHBoxLayout>
#include <QVBoxLayout>
#include <algorithm>
#include <cmath>

#include "gui/plan/plan_model.h"

namespace skedlark::gui {

namespace {

constexpr double kLeastScale = 0.6;
constexpr double kMostScale = 1.8;
constexpr double kReadableScale = 0.85;
constexpr double kBodyLines = 23.5;  // height of a card with one note, in lines of the body

// Only where it is another text: the layout is not asked again each second.
void set_text(QLabel* label, const QString& text) {
    if (label->text() != text) label->setText(text);
    label->setVisible(!text.isEmpty());
}

void set_text(QLabel* label, const std::string& text) {
    set_text(label, QString::fromStdString(text));
}

QFont larger(QFont font, double times, bool bold = false) {
    font.setPointSizeF(font.pointSizeF() * times);
    font.setBold(bold);
    return font;
}

}  // namespace

ContactCardView::ContactCardView(QWidget* parent)
    : QWidget(parent),
      body_(new QWidget(this)),
      nothing_(add_label("nothing")),
      to_go_(add_label("to_go")),
      to_go_of_(add_label("to_go_of")),
      stage_(add_label("stage")),
      with_(add_label("with")),
      when_(add_label("when")),
      notes_(add_label("notes")),
      conflicts_(add_label("conflicts")) {
    setAccessibleName(tr("Card of the contact"));
    to_go_->setWordWrap(false);
    add_row(tr("receive"), "receive", &CardWords::receive, true);
    add_row(tr("dial"), "dial", &CardWords::dial, true);
    add_row(tr("listen at"), "listen", &CardWords::listen, false);
    add_row(tr("answer"), "answer", &CardWords::answer, true);
    add_row(tr("switch on"), "switch_on", &CardWords::switch_on, false);
    add_row(tr("give up"), "give_up", &CardWords::give_up, false);
    add_row(tr("fallback"), "fallback", &CardWords::fallback, false);
    add_row(tr("battery"), "battery", &CardWords::battery, false);
    add_row(tr("then"), "battery_left", &CardWords::battery_left, false);
    add_row(tr("lay out"), "kit", &CardWords::kit, false);

    auto* clock = new QVBoxLayout;
    clock->addWidget(to_go_);
    clock->addWidget(to_go_of_);
    clock->addStretch(1);
    auto* who = new QVBoxLayout;
    for (QLabel* label : {with_, stage_, when_}) who->addWidget(label);
    who->addStretch(1);
    auto* head = new QHBoxLayout;
    head->addLayout(clock);
    head->addSpacing(24);
    head->addLayout(who, 1);
    auto* grid = new QGridLayout;
    grid->setVerticalSpacing(2);
    grid->setHorizontalSpacing(12);
    grid->setColumnStretch(1, 1);
    int line = 0;
    for (const Row& row : rows_) {
        grid->addWidget(row.caption, line, 0, Qt::AlignRight | Qt::AlignBaseline);
        grid->addWidget(row.value, line, 1, Qt::AlignBaseline);
        ++line;
    }
    auto* all = new QVBoxLayout(body_);
    all->setContentsMargins(0, 0, 0, 0);
    all->addLayout(head);
    all->addWidget(notes_);
    all->addLayout(grid);
    all->addWidget(conflicts_);
    all->addStretch(1);
    auto* outer = new QVBoxLayout(this);
    outer->addWidget(nothing_);
    outer->addWidget(body_, 1);
    show_nothing({});
}

QLabel* ContactCardView::add_label(const char* name) {
    auto* label = new QLabel(this);
    label->setObjectName(name);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    label->setFocusPolicy(Qt::NoFocus);
    return label;
}

void ContactCardView::add_row(const QString& caption, const char* name,
                              std::string CardWords::*text, bool large) {
    QLabel* left = add_label("");
    left->setText(caption);
    left->setWordWrap(false);
    QLabel* right = add_label(name);
    right->setAccessibleName(caption);
    rows_.push_back({left, right, large, text});
}

void ContactCardView::show_words(const CardWords& words) {
    nothing_->hide();
    body_->show();
    set_text(to_go_, words.to_go);
    set_text(to_go_of_, words.to_go_of);
    set_text(stage_, words.stage);
    set_text(with_, words.with);
    set_text(when_, words.when);
    for (const Row& row : rows_) set_text(row.value, words.*row.text);
    QStringList notes;
    for (const std::string& note : words.notes) notes += "! " + QString::fromStdString(note);
    set_text(notes_, notes.join('\n'));
}

void ContactCardView::show_nothing(const QString& why) {
    body_->hide();
    set_text(nothing_, why);
}

void ContactCardView::show_conflicts(const QStringList& conflicts) {
    QStringList lines;
    for (const QString& each : conflicts) lines += "! " + each;
    if (!lines.isEmpty()) lines.prepend(tr("In the next %1 days:").arg(kConflictDays));
    set_text(conflicts_, lines.join('\n'));
}

void ContactCardView::restyle(const Theme& theme) {
    theme_ = theme;
    scale_ = scale();
    set_fonts();
}

void ContactCardView::fit(const QSize& room) {
    room_ = room;
    const double now = scale();
    // Small steps only: setting type again for each pixel would flicker.
    if (std::abs(now - scale_) < 0.04) return;
    scale_ = now;
    set_fonts();
}

// What lets the longest line of the card, the dial's, stand without a break, and all lines be seen at
// once; the type is not made much smaller for that.
double ContactCardView::scale() const {
    const double line =
        QFontMetricsF(theme_.figures())
            .horizontalAdvance("receive m band 2, division 34.8 (95 %: 34.4 to 35.3)");
    const double lines = kBodyLines * QFontMetricsF(theme_.body()).height();
    return std::clamp(
        std::min(room_.width() / line, std::max(kReadableScale, room_.height() / lines)),
        kLeastScale, kMostScale);
}

void ContactCardView::set_fonts() {
    const QFont body = larger(theme_.body(), std::max(1.0 / 1.3, scale_));
    const QFont middle = larger(body, 1.3);
    const QFont figures = larger(theme_.figures(), scale_);
    to_go_->setFont(larger(theme_.readout(), scale_, true));
    to_go_of_->setFont(body);
    stage_->setFont(larger(middle, 1.0, true));
    with_->setFont(larger(figures, 1.0, true));
    when_->setFont(middle);
    nothing_->setFont(middle);
    notes_->setFont(larger(middle, 1.0, true));
    conflicts_->setFont(body);
    for (const Row& row : rows_) {
        row.caption->setFont(body);
        row.value->setFont(row.large ? figures : middle);
        QPalette faint = row.caption->palette();
        faint.setColor(QPalette::WindowText, theme_.ink(0.75));
        row.caption->setPalette(faint);
    }
}

}  // namespace skedlark::gui
