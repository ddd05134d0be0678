#include "gui/practice/sending_view.h"

#include <QRandomGenerator>
#include <QVBoxLayout>

#include "gui/common/flow_layout.h"
#include "gui/practice/fields.h"

namespace skedlark::gui {

namespace {
constexpr int kSoFarEvery = 10;  // refreshes: three times a second
QString of(const std::string& text) { return QString::fromStdString(text); }
}  // namespace

SendingView::SendingView(DeskState& desk, PracticeLog& log, PracticeSound& sound, QWidget* parent)
    : QWidget(parent), desk_(desk), sound_(sound), drill_(log) {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(4, 4, 4, 4);
    auto* bar = new QWidget(this);
    new FlowLayout(bar);
    bar->layout()->setContentsMargins(0, 0, 0, 0);
    kind_ = kind_field(bar);
    add_pair(*bar, tr("Send"), *kind_, tr("Kind of text to send"));
    count_ = number_field(1, fist::kMostDrillCount, 1, 0, bar);
    count_->setValue(desk.settings().number("practice/send_count"));
    add_pair(*bar, tr("how many"), *count_, tr("Groups, calls or sentences to send"));
    next_ = button_of(tr("Another text (F5)"), tr("Another text to send"), bar);
    go_on_ = button_of(tr("Begin (F6)"), tr("Begin to send, or end and grade"), bar);
    bar->layout()->addWidget(next_);
    bar->layout()->addWidget(go_on_);
    rows->addWidget(bar);
    words_ = words_of(tr("How the sending drill goes"), this);
    rows->addWidget(words_);
    text_ = page_of(tr("Text to send"), true, this);
    rows->addWidget(text_, 2);
    pad_ = new KeyPad(this);
    pad_->set_words(tr("the space bar is the key"));
    rows->addWidget(pad_);
    so_far_ = words_of(tr("What was sent so far"), this);
    rows->addWidget(so_far_);
    result_ = page_of(tr("Grade of the sending"), true, this);
    rows->addWidget(result_, 3);
    say(tr(
        "F6 begins. Send the text on the space bar, or on a key whose line or sidetone is at the "
        "sound input that is listened to. Take the key off the transmitter: practice needs none."));
    connect(next_, &QPushButton::clicked, this, &SendingView::begin);
    connect(go_on_, &QPushButton::clicked, this, &SendingView::go_on);
    connect(pad_, &KeyPad::keyed, this, [this](bool down, double at_s) {
        sound_.key(down, at_s);
        drill_.key(down, at_s);
    });
    connect(count_, &QDoubleSpinBox::valueChanged, this,
            [this](double count) { desk_.settings().set("practice/send_count", count); });
    desk_.hub().join(drill_.line());
}

SendingView::~SendingView() { desk_.hub().leave(drill_.line()); }

void SendingView::begin() {
    const auto kind = fist::drill_kind_by_name(kind_->currentData().toString().toStdString());
    const Status begun =
        drill_.begin(kind.value_or(fist::DrillKind::groups), static_cast<int>(count_->value()),
                     QRandomGenerator::global()->generate64());
    if (!begun) {
        say(of(begun.error().message));
        return;
    }
    sound_.stop();
    sound_.open();
    text_->setPlainText(of(drill_.text()));
    result_->clear();
    so_far_->clear();
    go_on_->setText(tr("Done (F6)"));
    say(drill_.more_of().empty()
            ? tr("Send it; F6 when done.")
            : tr("Send it; F6 when done. More of what goes wrong: %1").arg(of(drill_.more_of())));
    pad_->setFocus();
}

void SendingView::go_on() {
    if (drill_.phase() != SendingPhase::sending) {
        begin();
        return;
    }
    const Status ended = drill_.end(desk_.now(), !on_sent);
    if (drill_.phase() != SendingPhase::graded) {
        say(of(ended.error().message));
        return;
    }
    if (on_sent) on_sent(drill_.text(), drill_.key_marks(), drill_.edge_sd_s());
    go_on_->setText(tr("Begin (F6)"));
    result_->setPlainText(of(drill_.result_words()));
    so_far_->setText(tr("Sent: %1").arg(of(drill_.grade()->text())));
    say(ended ? tr("Graded.") : tr("Graded, but not logged: %1").arg(of(ended.error().message)));
    result_->setFocus();
}

void SendingView::refresh() {
    if (refreshes_++ % kSoFarEvery != 0 || drill_.phase() != SendingPhase::sending) return;
    if (drill_.marks() > 0) so_far_->setText(tr("So far: %1").arg(of(drill_.so_far())));
}

void SendingView::restyle(const Theme& theme) {
    text_->setFont(theme.copy_text());
    result_->setFont(theme.body());
    pad_->restyle(theme);
}

}  // namespace skedlark::gui
