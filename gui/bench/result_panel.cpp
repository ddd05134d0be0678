#include "gui/bench/result_panel.h"

#include <QHBoxLayout>
#include <QScrollArea>
#include <QVBoxLayout>

namespace skedlark::gui {

ResultPanel::ResultPanel(QWidget* parent)
    : QWidget(parent),
      verdict_(new QLabel(this)),
      table_(new RowTable(tr("Figures of the result"),
                          {tr("Verdict"), tr("Figure"), tr("Measured, 95 %"), tr("Limit")}, this)),
      remarks_(new QLabel(this)),
      path_(new QLineEdit(this)),
      save_(new QPushButton(tr("Save result"), this)),
      sheet_(new QPushButton(tr("Make sheet"), this)),
      chain_(new QPushButton(tr("Save chain, use it"), this)),
      receiver_(new QPushButton(tr("Save corrected chart"), this)),
      said_(new QLabel(this)) {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(0, 0, 0, 0);
    rows->setSpacing(3);
    verdict_->setAccessibleName(tr("Verdict"));
    verdict_->setTextFormat(Qt::PlainText);
    rows->addWidget(verdict_);
    auto* middle = new QHBoxLayout;
    middle->addWidget(table_, 5);
    remarks_->setAccessibleName(tr("Remarks"));
    remarks_->setWordWrap(true);
    remarks_->setTextFormat(Qt::PlainText);
    remarks_->setAlignment(Qt::AlignTop | Qt::AlignLeft);
    auto* scroll = new QScrollArea(this);
    scroll->setWidgetResizable(true);
    scroll->setFrameShape(QFrame::NoFrame);
    scroll->setWidget(remarks_);
    scroll->setAccessibleName(tr("Remarks of the result"));
    middle->addWidget(scroll, 2);
    rows->addLayout(middle, 1);
    auto* foot = new QHBoxLayout;
    path_->setAccessibleName(tr("File of the result, JSON Lines; Enter saves it"));
    path_->setPlaceholderText(tr("file to save to"));
    save_->setAccessibleName(tr("Save the result as JSON Lines"));
    save_->setToolTip("Ctrl+S");
    sheet_->setAccessibleName(tr("Save the result and make a printable sheet of it, PDF"));
    sheet_->setVisible(false);
    chain_->setAccessibleName(tr("Save the measured chain and use it from now on"));
    receiver_->setAccessibleName(tr("Save the receiver file with the corrected chart"));
    said_->setAccessibleName(tr("What was saved"));
    said_->setTextFormat(Qt::PlainText);
    said_->setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Preferred);
    foot->addWidget(path_, 2);
    foot->addWidget(save_);
    foot->addWidget(sheet_);
    foot->addWidget(chain_);
    foot->addWidget(receiver_);
    foot->addWidget(said_, 3);
    rows->addLayout(foot);
    connect(path_, &QLineEdit::returnPressed, this, &ResultPanel::save_wanted);
    connect(save_, &QPushButton::clicked, this, &ResultPanel::save_wanted);
    connect(sheet_, &QPushButton::clicked, this, &ResultPanel::sheet_wanted);
    connect(chain_, &QPushButton::clicked, this, &ResultPanel::chain_wanted);
    connect(receiver_, &QPushButton::clicked, this, &ResultPanel::receiver_wanted);
}

void ResultPanel::restyle(const Theme& theme) {
    table_->restyle(theme);
    QFont strong = theme.body();
    strong.setBold(true);
    verdict_->setFont(strong);
}

void ResultPanel::say(const QString& text) {
    said_->setText(text);
    said_->setToolTip(text);
}

void ResultPanel::ask_for_path() {
    path_->setFocus();
    path_->selectAll();
}

void ResultPanel::show_model(const BenchModel& model) {
    const BenchDone* done = model.done();
    const std::string& test = model.run().kind().name;
    if (test_ != test) path_->setText(QString("bench-%1.jsonl").arg(QString::fromStdString(test)));
    if (done == shown_ && results_ == model.results() && test_ == test) return;
    shown_ = done;
    results_ = model.results();
    test_ = test;
    save_->setEnabled(done != nullptr);
    sheet_->setEnabled(done != nullptr);
    chain_->setVisible(done != nullptr && done->chain.has_value());
    receiver_->setVisible(done != nullptr && done->corrected.has_value());
    say(QString::fromStdString(model.logged_words()));
    if (done == nullptr) {
        verdict_->setText(tr("No result yet: the last step of the test measures."));
        table_->show_rows({});
        remarks_->clear();
        return;
    }
    verdict_->setText(QString::fromStdString(verdict_words(done->sheet, done->kept)));
    std::vector<std::vector<std::string>> rows;
    for (const ResultRow& row : result_rows(done->sheet))
        rows.push_back({row.verdict, row.what, row.value, row.limit});
    table_->show_rows(rows);
    QString remarks;
    if (!done->sheet.report.chain.empty())
        remarks = tr("Measured with the chain %1.\n")
                      .arg(QString::fromStdString(done->sheet.report.chain));
    for (const std::string& remark : done->sheet.report.remarks)
        remarks += QString::fromStdString(remark) + "\n";
    remarks_->setText(remarks.trimmed());
}

}  // namespace skedlark::gui
