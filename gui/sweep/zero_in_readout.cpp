#include "gui/sweep/zero_in_readout.h"

#include <QGridLayout>

namespace skedlark::gui {

ZeroInReadout::ZeroInReadout(QWidget* parent)
    : QWidget(parent), word_(new QLabel(this)), digits_(new QLabel(this)), why_(new QLabel(this)) {
    auto* grid = new QVBoxLayout(this);
    grid->setContentsMargins(8, 0, 0, 0);
    grid->setSpacing(0);
    word_->setAccessibleName(tr("Which way to turn"));
    digits_->setAccessibleName(tr("How far to turn"));
    why_->setAccessibleName(tr("What is heard"));
    // A long word makes no wider window.
    for (QLabel* label : {word_, digits_, why_}) {
        label->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
        grid->addWidget(label);
    }
    grid->addStretch();
}

void ZeroInReadout::restyle(const Theme& theme) {
    word_->setFont(theme.readout());
    digits_->setFont(theme.readout());
    why_->setFont(theme.body());
}

void ZeroInReadout::show_words(const ZeroInWords& words) {
    QString arrow;
    if (words.heard && words.turn == dial::Turn::up) arrow = QString::fromUtf8("\u25b2 ");
    if (words.heard && words.turn == dial::Turn::down) arrow = QString::fromUtf8("\u25bc ");
    if (words.heard && words.turn == dial::Turn::here) arrow = QString::fromUtf8("\u25cf ");
    word_->setText(arrow + QString::fromStdString(words.word));
    digits_->setText(QString::fromStdString(words.digits));
    why_->setText(QString::fromStdString(words.why));
}

}  // namespace skedlark::gui
