#include "gui/plan/editor.h"

#include <QDir>
#include <QFile>
#include <QFileInfo>
#include <QHBoxLayout>
#include <QPlainTextEdit>
#include <QVBoxLayout>

#include "dsp/core/text_file.h"

namespace skedlark::gui {

namespace {

constexpr int kDraftMs = 1000;
constexpr int kWideChars = 45;
constexpr std::size_t kMaxBytes = 1U << 20U;
constexpr const char* kDraftOf = "# draft of ";

QString text_of(const std::string& text) { return QString::fromStdString(text); }

}  // namespace

Editor::Editor(const Schema& schema, const QString& draft, QWidget* parent)
    : QWidget(parent),
      schema_(schema),
      draft_(draft),
      document_(new_document(schema)),
      file_(new FileLine(schema.what, this)),
      list_(new QListWidget(this)),
      remove_(new QPushButton(tr("Remove"), this)),
      undo_(new QPushButton(tr("Put back"), this)),
      scroll_(new QScrollArea(this)),
      summary_(new QLabel(this)),
      offer_(make_offer()) {
    list_->setObjectName(QString(schema.what) + "_entries");
    list_->setAccessibleName(tr("Entries of the %1").arg(schema.what));
    scroll_->setWidgetResizable(true);
    scroll_->setFrameShape(QFrame::NoFrame);
    scroll_->setFocusPolicy(Qt::NoFocus);
    summary_->setObjectName(QString(schema.what) + "_summary");
    summary_->setWordWrap(true);
    summary_->setTextFormat(Qt::PlainText);
    auto* below = new QHBoxLayout;
    below->addWidget(make_side());
    below->addWidget(scroll_, 1);
    auto* all = new QVBoxLayout(this);
    all->setContentsMargins(0, 0, 0, 0);
    all->addWidget(file_);
    all->addWidget(offer_);
    all->addWidget(summary_);
    all->addLayout(below, 1);
    connect(list_, &QListWidget::currentRowChanged, this, [this] {
        if (!filling_) fill_form();
    });
    draft_timer_.setSingleShot(true);
    connect(&draft_timer_, &QTimer::timeout, this, &Editor::keep_draft);
    show_offer();
    fill_list(0);
    summary_->hide();
}

Editor::~Editor() {
    if (unsaved_) keep_draft();
}

QWidget* Editor::make_offer() {
    auto* offer = new QWidget(this);
    offer_text_ = new QLabel(offer);
    offer_text_->setObjectName(QString(schema_.what) + "_offer");
    auto* take = new QPushButton(tr("Take it up"), offer);
    auto* drop = new QPushButton(tr("Throw it away"), offer);
    take->setObjectName(QString(schema_.what) + "_take_draft");
    take->setAccessibleName(tr("Take the unsaved draft up"));
    drop->setAccessibleName(tr("Throw the unsaved draft away"));
    auto* line = new QHBoxLayout(offer);
    line->setContentsMargins(0, 0, 0, 0);
    line->addWidget(offer_text_, 1);
    line->addWidget(take);
    line->addWidget(drop);
    connect(take, &QPushButton::clicked, this, &Editor::take_draft);
    connect(drop, &QPushButton::clicked, this, &Editor::drop_draft);
    offer->setVisible(QFile::exists(draft_));
    return offer;
}

void Editor::show_offer() {
    const QFileInfo kept(draft_);
    offer_->setVisible(kept.exists());
    offer_text_->setText(tr("A %1 that was not saved is kept, of %2")
                             .arg(schema_.what, kept.lastModified().toString(Qt::ISODate)));
}

QWidget* Editor::make_side() {
    auto* side = new QWidget(this);
    auto* column = new QVBoxLayout(side);
    column->setContentsMargins(0, 0, 0, 0);
    column->addWidget(list_, 1);
    auto* adding = new QGridLayout;
    int count = 0;
    for (std::size_t i = 0; i < schema_.sections.size(); ++i) {
        if (!schema_.sections[i].many) continue;
        auto* add = new QPushButton(QString("+ ") + schema_.sections[i].heading, side);
        add->setObjectName(QString("add_") + schema_.sections[i].table);
        add->setAccessibleName(tr("Add a %1").arg(schema_.sections[i].heading));
        adding->addWidget(add, count / 2, count % 2);
        ++count;
        connect(add, &QPushButton::clicked, this, [this, i] { add_entry(i); });
    }
    column->addLayout(adding);
    remove_->setObjectName("remove");
    remove_->setAccessibleName(tr("Remove the chosen entry"));
    undo_->setObjectName("undo");
    undo_->setAccessibleName(tr("Put the entry removed last back"));
    undo_->setEnabled(false);
    auto* taking = new QHBoxLayout;
    taking->addWidget(remove_);
    taking->addWidget(undo_);
    column->addLayout(taking);
    connect(remove_, &QPushButton::clicked, this, &Editor::remove_entry);
    connect(undo_, &QPushButton::clicked, this, &Editor::undo);
    return side;
}

bool Editor::load(const std::string& toml, const QString& path) {
    auto document = document_of(schema_, toml, path.toStdString());
    if (!document) {
        file_->set_problem(text_of(document.error().message));
        return false;
    }
    if (unsaved_) {
        draft_timer_.stop();
        keep_draft();
        show_offer();
    }
    document_ = *std::move(document);
    removed_.reset();
    undo_->setEnabled(false);
    file_->set_path(path);
    file_->set_problem({});
    unsaved_ = false;
    file_->set_word(tr("saved"));
    fill_list(0);
    return true;
}

void Editor::set_saved() {
    unsaved_ = false;
    draft_timer_.stop();
    if (!offer_->isVisibleTo(this)) QFile::remove(draft_);
    file_->set_word(tr("saved"));
    file_->set_problem({});
}

std::size_t Editor::chosen() const {
    return static_cast<std::size_t>(std::max(0, list_->currentRow()));
}

void Editor::fill_list(std::size_t choose) {
    filling_ = true;
    list_->clear();
    for (const Entry& entry : document_) list_->addItem(text_of(title_of(schema_, entry)));
    list_->setCurrentRow(static_cast<int>(choose));
    filling_ = false;
    fill_form();
}

void Editor::fill_form() {
    rows_.clear();
    auto* form = new QWidget;
    auto* layout = new QFormLayout(form);
    if (chosen() < document_.size()) {
        const SectionInfo& section = schema_.sections[document_[chosen()].section];
        for (const FieldInfo& field : section.fields) {
            auto* label = new QLabel(field.label, form);
            QWidget* input = make_field(field);
            label->setBuddy(input);
            layout->addRow(label, input);
            auto* problem = new QLabel(form);
            problem->setObjectName(QString("problem_") + field.key);
            problem->setWordWrap(true);
            problem->setTextFormat(Qt::PlainText);
            layout->addRow(problem);
            rows_.push_back({field.key, problem});
        }
        remove_->setEnabled(section.many);
    }
    scroll_->setWidget(form);
    form->show();
    fit_form();
    check();
}

// With large type on a small screen the names stand above their fields.
void Editor::fit_form() {
    auto* form = scroll_->widget() != nullptr
                     ? qobject_cast<QFormLayout*>(scroll_->widget()->layout())
                     : nullptr;
    if (form == nullptr) return;
    const bool narrow = scroll_->width() < kWideChars * fontMetrics().averageCharWidth();
    form->setRowWrapPolicy(narrow ? QFormLayout::WrapAllRows : QFormLayout::WrapLongRows);
}

void Editor::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    fit_form();
}

QWidget* Editor::make_field(const FieldInfo& field) {
    const QString text = text_of(document_[chosen()].value(field.key));
    const std::string key = field.key;
    QWidget* made = nullptr;
    if (field.kind == FieldKind::points) {
        auto* input = new QPlainTextEdit(text);
        input->setTabChangesFocus(true);
        connect(input, &QPlainTextEdit::textChanged, this,
                [this, input, key] { edit(key, input->toPlainText()); });
        made = input;
    } else {
        auto* input = new QLineEdit(text);
        input->setPlaceholderText(*field.example != '\0' ? tr("such as %1").arg(field.example)
                                                         : QString());
        connect(input, &QLineEdit::textChanged, this,
                [this, key](const QString& typed) { edit(key, typed); });
        made = input;
    }
    made->setObjectName(QString("field_") + field.key);
    made->setAccessibleName(field.label);
    return made;
}

void Editor::edit(const std::string& key, const QString& text) {
    Entry& entry = document_[chosen()];
    entry.values[key] = text.toStdString();
    list_->item(list_->currentRow())->setText(text_of(title_of(schema_, entry)));
    touched();
    check();
}

void Editor::touched() {
    unsaved_ = true;
    file_->set_word(tr("not saved"));
    draft_timer_.start(kDraftMs);
    emit changed();
}

void Editor::check() {
    const auto problems = problems_of(schema_, document_);
    for (const FieldRow& row : rows_) row.problem->hide();
    QStringList elsewhere;
    for (const Problem& problem : problems) {
        QLabel* below = nullptr;
        for (const FieldRow& row : rows_) {
            if (problem.entry == chosen() && row.key == problem.key) below = row.problem;
        }
        if (below != nullptr) {
            below->setText("! " + text_of(problem.said));
            below->show();
            continue;
        }
        const std::string where =
            problem.entry ? title_of(schema_, document_[*problem.entry]) + ": " + problem.key + ": "
                          : "";
        elsewhere += "! " + text_of(where + problem.said).trimmed();
    }
    // The whole list would push the form off a small screen.
    const bool more = elsewhere.size() > 2;
    if (more) elsewhere = elsewhere.mid(0, 2) << tr("! and more");
    summary_->setText(elsewhere.join('\n'));
    summary_->setVisible(!elsewhere.isEmpty());
}

void Editor::add_entry(std::size_t section) {
    const SectionInfo& info = schema_.sections[section];
    if (*info.within != '\0' && place_for(schema_, document_, section, chosen()) == 0) {
        file_->set_problem(
            tr("a %1 belongs to a %2; add that first").arg(info.heading, info.within));
        return;
    }
    const std::size_t place = place_for(schema_, document_, section, chosen());
    document_.insert(document_.begin() + static_cast<std::ptrdiff_t>(place), Entry{section, {}});
    touched();
    fill_list(place);
    if (auto* first = scroll_->widget()->findChild<QLineEdit*>()) first->setFocus();
}

void Editor::remove_entry() {
    const std::size_t place = chosen();
    if (place >= document_.size() || !schema_.sections[document_[place].section].many) return;
    const auto from = document_.begin() + static_cast<std::ptrdiff_t>(place);
    const auto to =
        document_.begin() + static_cast<std::ptrdiff_t>(end_of(schema_, document_, place));
    removed_ = Removed{place, Document(from, to)};
    document_.erase(from, to);
    undo_->setEnabled(true);
    touched();
    fill_list(std::min(place, document_.size() - 1));
}

void Editor::undo() {
    if (!removed_) return;
    const std::size_t place = std::min(removed_->place, document_.size());
    document_.insert(document_.begin() + static_cast<std::ptrdiff_t>(place),
                     removed_->entries.begin(), removed_->entries.end());
    removed_.reset();
    undo_->setEnabled(false);
    touched();
    fill_list(place);
}

void Editor::keep_draft() {
    // A draft nobody has decided about is not written over.
    if (offer_->isVisibleTo(this)) {
        QFile::remove(draft_ + ".old");
        QFile::rename(draft_, draft_ + ".old");
        offer_->hide();
    }
    QDir().mkpath(QFileInfo(draft_).path());
    const std::string text = kDraftOf + file_->path().toStdString() + "\n" + this->text();
    if (const Status kept = replace_file(draft_.toStdString(), text); !kept) {
        file_->set_problem(tr("the draft is not kept: %1").arg(text_of(kept.error().message)));
    }
}

void Editor::take_draft() {
    const auto text = read_text_file(draft_.toStdString(), kMaxBytes);
    if (!text) {
        file_->set_problem(text_of(text.error().message));
        return;
    }
    QString path = file_->path();
    const QString first = text_of(text->substr(0, text->find('\n')));
    if (first.startsWith(kDraftOf)) path = first.mid(static_cast<int>(qstrlen(kDraftOf)));
    offer_->hide();
    if (load(*text, path)) touched();
}

void Editor::drop_draft() {
    QFile::remove(draft_);
    offer_->hide();
}

}  // namespace skedlark::gui
