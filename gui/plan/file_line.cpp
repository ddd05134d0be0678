#include "gui/plan/file_line.h"

#include <QCompleter>
#include <QDir>
#include <QFileSystemModel>
#include <QHBoxLayout>
#include <QVBoxLayout>

namespace skedlark::gui {

FileLine::FileLine(const QString& what, QWidget* parent)
    : QWidget(parent),
      path_(new QLineEdit(this)),
      open_(new QPushButton(tr("Open"), this)),
      save_(new QPushButton(tr("Save"), this)),
      word_(new QLabel(this)),
      problem_(new QLabel(this)) {
    path_->setObjectName(what + "_path");
    path_->setAccessibleName(tr("Path of the %1 file; Enter opens it").arg(what));
    path_->setPlaceholderText(tr("path of the %1 file, Enter opens it").arg(what));
    open_->setAccessibleName(tr("Open the %1 file").arg(what));
    save_->setAccessibleName(tr("Save the %1 file").arg(what));
    word_->setObjectName(what + "_word");
    problem_->setObjectName(what + "_problem");
    problem_->setWordWrap(true);
    problem_->setTextFormat(Qt::PlainText);
    problem_->hide();

    auto* files = new QFileSystemModel(this);
    files->setRootPath(QDir::rootPath());
    auto* completer = new QCompleter(files, this);
    completer->setCompletionMode(QCompleter::PopupCompletion);
    path_->setCompleter(completer);

    auto* caption = new QLabel(tr("%1 file").arg(what.left(1).toUpper() + what.mid(1)), this);
    caption->setBuddy(path_);
    auto* line = new QHBoxLayout;
    line->addWidget(caption);
    line->addWidget(path_, 1);
    line->addWidget(open_);
    line->addWidget(save_);
    line->addWidget(word_);
    auto* all = new QVBoxLayout(this);
    all->setContentsMargins(0, 0, 0, 0);
    all->addLayout(line);
    all->addWidget(problem_);
    const auto open = [this] { emit open_wanted(path()); };
    connect(path_, &QLineEdit::returnPressed, this, open);
    connect(open_, &QPushButton::clicked, this, open);
    connect(save_, &QPushButton::clicked, this, [this] { emit save_wanted(path()); });
}

QString FileLine::path() const {
    const QString text = path_->text().trimmed();
    return text == "~" || text.startsWith("~/") ? QDir::homePath() + text.mid(1) : text;
}

void FileLine::set_problem(const QString& problem) {
    problem_->setText(problem.isEmpty() ? QString() : "! " + problem);
    problem_->setVisible(!problem.isEmpty());
}

void FileLine::ask() const {
    path_->setFocus(Qt::ShortcutFocusReason);
    path_->selectAll();
}

}  // namespace skedlark::gui
