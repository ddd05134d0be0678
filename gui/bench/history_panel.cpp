#include "gui/bench/history_panel.h"

#include <QHBoxLayout>
#include <QVBoxLayout>

namespace skedlark::gui {

HistoryPanel::HistoryPanel(QWidget* parent)
    : QWidget(parent),
      words_(new QLabel(this)),
      entries_(new QListWidget(this)),
      table_(new RowTable(
          tr("What has changed"),
          {tr("Figure"), tr("Before"), tr("After"), tr("Difference"), tr("Verdict")}, this)) {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(0, 0, 0, 0);
    words_->setAccessibleName(tr("What the log holds"));
    words_->setWordWrap(true);
    words_->setTextFormat(Qt::PlainText);
    rows->addWidget(words_);
    auto* both = new QHBoxLayout;
    entries_->setAccessibleName(tr("Earlier results; the newest is compared with the one chosen"));
    both->addWidget(entries_, 2);
    both->addWidget(table_, 4);
    rows->addLayout(both, 1);
    connect(entries_, &QListWidget::currentRowChanged, this, [this](int row) {
        if (row >= 0 && static_cast<std::size_t>(row) < shown_.size())
            emit compare_wanted(shown_[static_cast<std::size_t>(row)]);
    });
}

void HistoryPanel::restyle(const Theme& theme) {
    table_->restyle(theme);
    entries_->setFont(theme.body());
}

void HistoryPanel::show_model(const BenchModel& model) {
    const QString words = QString::fromStdString(model.history_words());
    if (words_->text() != words) words_->setText(words);
    std::vector<qint64> ids;
    for (const log::Entry& entry : model.earlier()) ids.push_back(entry.id);
    if (ids != shown_) {
        const QSignalBlocker quiet(entries_);
        shown_ = ids;
        entries_->clear();
        for (const log::Entry& entry : model.earlier())
            entries_->addItem(QString::fromStdString(entry_words(entry)));
        if (ids.size() > 1) entries_->setCurrentRow(1);
    }
    std::vector<std::vector<std::string>> rows;
    for (const ChangeRow& row : model.changes())
        rows.push_back({row.what, row.before, row.after, row.change, row.verdict});
    table_->show_rows(rows);
}

}  // namespace skedlark::gui
