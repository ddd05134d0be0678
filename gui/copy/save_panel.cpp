#include "gui/copy/save_panel.h"

#include <QDir>
#include <QFileInfo>
#include <QFormLayout>
#include <QSaveFile>

namespace skedlark::gui {

namespace {

constexpr const char* kEndings[] = {".txt", ".jsonl", "-sheet.txt"};

}  // namespace

SavePanel::SavePanel(QWidget* parent)
    : QWidget(parent),
      format_(new QComboBox(this)),
      path_(new QLineEdit(this)),
      state_(new QLabel(this)) {
    format_->addItems({tr("Text"), tr("JSON Lines"), tr("Message sheet")});
    format_->setAccessibleName(tr("Save as"));
    path_->setAccessibleName(tr("File, saved with Return"));
    state_->setWordWrap(true);
    state_->setTextFormat(Qt::PlainText);
    state_->setAccessibleName(tr("What came of saving"));
    state_->setText(tr("Return saves. Nothing is written over without a second Return."));
    auto* form = new QFormLayout(this);
    form->setContentsMargins(4, 4, 4, 4);
    form->setRowWrapPolicy(QFormLayout::WrapLongRows);
    form->addRow(tr("Save as"), format_);
    form->addRow(tr("File"), path_);
    form->addRow(state_);
    connect(format_, &QComboBox::currentIndexChanged, this, &SavePanel::offer_name);
    connect(path_, &QLineEdit::returnPressed, this, &SavePanel::save);
    connect(path_, &QLineEdit::textEdited, this, [this] { asked_.clear(); });
}

void SavePanel::offer(const QString& folder, const QString& base) {
    folder_ = folder;
    base_ = base;
    offer_name();
}

void SavePanel::offer_name() {
    asked_.clear();
    path_->setText(QDir(folder_).filePath(base_ + kEndings[format_->currentIndex()]));
}

void SavePanel::save() {
    const QString typed = path_->text().trimmed();
    if (typed.isEmpty()) return state_->setText(tr("File: is empty; name a file"));
    const QString path = QDir(folder_).absoluteFilePath(typed);
    if (QFileInfo::exists(path) && asked_ != path) {
        asked_ = path;
        return state_->setText(tr("%1 is there already. Return again writes over it.").arg(path));
    }
    asked_.clear();
    const std::string bytes = content(static_cast<SaveAs>(format_->currentIndex()));
    QSaveFile file(path);
    const auto size = static_cast<qint64>(bytes.size());
    if (!file.open(QIODevice::WriteOnly) || file.write(bytes.data(), size) != size ||
        !file.commit()) {
        return state_->setText(tr("%1: cannot be written: %2").arg(path, file.errorString()));
    }
    state_->setText(tr("Saved: %1").arg(path));
    emit saved(path);
}

}  // namespace skedlark::gui
