#include "gui/fist/text_panel.h"

#include <QHBoxLayout>
#include <QVBoxLayout>

#include "dsp/core/text_file.h"
#include "dsp/fist/test_text.h"

namespace skedlark::gui {

namespace {
constexpr std::size_t kMaxBytes = 1U << 20U;
}

TextPanel::TextPanel(QWidget* parent)
    : QWidget(parent),
      text_(new QPlainTextEdit(this)),
      test_(new QPushButton(tr("The fi&xed test"), this)),
      clear_(new QPushButton(tr("Clear"), this)),
      path_(new QLineEdit(this)),
      said_(new QLabel(this)) {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(0, 2, 0, 0);
    rows->setSpacing(2);
    text_->setAccessibleName(tr("Text meant"));
    text_->setPlaceholderText(
        tr("Type the text to send here, or leave this empty: then only the hand is graded."));
    text_->setTabChangesFocus(true);
    rows->addWidget(text_, 1);
    auto* row = new QHBoxLayout;
    test_->setAccessibleName(tr("Take the fixed test text"));
    test_->setToolTip(
        tr("The same text each time, so that weeks can be compared: 39 words, every letter and "
           "figure at least twice"));
    clear_->setAccessibleName(tr("Take the text away"));
    path_->setAccessibleName(tr("Text file to read"));
    path_->setPlaceholderText(tr("text file, Return reads it"));
    row->addWidget(test_);
    row->addWidget(clear_);
    row->addWidget(path_, 1);
    rows->addLayout(row);
    said_->setAccessibleName(tr("What is wrong with the text"));
    said_->setWordWrap(true);
    said_->setTextFormat(Qt::PlainText);
    rows->addWidget(said_);
    connect(text_, &QPlainTextEdit::textChanged, this, &TextPanel::changed);
    connect(test_, &QPushButton::clicked, this, [this] {
        set_text(QString::fromUtf8(fist::kTestText.data(),
                                   static_cast<qsizetype>(fist::kTestText.size())));
    });
    connect(clear_, &QPushButton::clicked, text_, &QPlainTextEdit::clear);
    connect(path_, &QLineEdit::returnPressed, this, &TextPanel::read_file);
}

void TextPanel::restyle(const Theme& theme) { text_->setFont(theme.copy_text()); }

void TextPanel::read_file() {
    const QString path = path_->text().trimmed();
    const auto bytes = read_text_file(path.toStdString(), kMaxBytes);
    if (!bytes) {
        say(QString::fromStdString(bytes.error().message));
        return;
    }
    emit file_read(QByteArray::fromStdString(*bytes), path);
}

}  // namespace skedlark::gui
