#include "gui/bench/step_panel.h"

#include <QHBoxLayout>
#include <QVBoxLayout>
#include <cmath>

namespace skedlark::gui {

namespace {

void set_text(QLabel* label, const QString& text) {
    if (label->text() != text) label->setText(text);
    if (label->isVisibleTo(label->parentWidget()) == text.isEmpty())
        label->setVisible(!text.isEmpty());
}

QLabel* wrapped(const QString& name, QWidget* parent) {
    auto* label = new QLabel(parent);
    label->setAccessibleName(name);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    return label;
}

}  // namespace

StepPanel::StepPanel(QWidget* parent)
    : QWidget(parent),
      words_(wrapped(tr("What to do"), this)),
      caution_(wrapped(tr("Caution"), this)),
      fields_(new TestFields(this)),
      back_(new QPushButton(tr("Back"), this)),
      steps_(new QComboBox(this)),
      next_(new QPushButton(tr("Next"), this)),
      record_(new QPushButton(this)),
      progress_(new QProgressBar(this)),
      how_(new QLabel(this)),
      problem_(wrapped(tr("What is wrong"), this)) {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(0, 0, 0, 0);
    rows->setSpacing(4);
    auto* way = new QHBoxLayout;
    back_->setAccessibleName(tr("Back to the step before"));
    back_->setToolTip("Alt+Left");
    next_->setAccessibleName(tr("On to the next step"));
    next_->setToolTip("Alt+Right");
    steps_->setAccessibleName(tr("Step of the test"));
    steps_->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    steps_->setMinimumContentsLength(12);
    record_->setAccessibleName(tr("Record this step, or stop"));
    way->addWidget(back_);
    way->addWidget(steps_, 3);
    way->addWidget(next_);
    way->addWidget(record_);
    progress_->setAccessibleName(tr("How far the recording is"));
    progress_->setTextVisible(false);
    progress_->setRange(0, 1000);
    how_->setAccessibleName(tr("How the step goes"));
    how_->setTextFormat(Qt::PlainText);
    how_->setWordWrap(true);
    way->addWidget(progress_, 2);
    rows->addLayout(way);
    rows->addWidget(how_);
    rows->addWidget(words_);
    rows->addWidget(caution_);
    rows->addWidget(fields_);
    rows->addWidget(problem_);
    connect(back_, &QPushButton::clicked, this, &StepPanel::back_wanted);
    connect(next_, &QPushButton::clicked, this, &StepPanel::next_wanted);
    connect(record_, &QPushButton::clicked, this, &StepPanel::record_wanted);
    connect(steps_, &QComboBox::activated, this, &StepPanel::step_wanted);
    connect(fields_, &TestFields::edited, this, &StepPanel::edited);
}

void StepPanel::restyle(const Theme& theme) {
    fields_->restyle(theme);
    how_->setFont(theme.figures());
    caution_->setStyleSheet(
        QString("QLabel { border: 2px solid %1; padding: 3px; }").arg(theme.ink().name()));
    progress_->setFixedHeight(QFontMetrics(theme.body()).height());
    progress_->setStyleSheet(
        QString("QProgressBar { border: 1px solid %1; background: %2; } "
                "QProgressBar::chunk { background: %3; }")
            .arg(theme.ink(Theme::kFaint).name(), theme.paper().name(), theme.ink(0.8).name()));
    QFont strong = theme.body();
    strong.setBold(true);
    problem_->setFont(strong);
}

void StepPanel::show_steps(const BenchRun& run) {
    const auto& steps = run.steps();
    const int count = static_cast<int>(steps.size());
    while (steps_->count() > count) steps_->removeItem(steps_->count() - 1);
    for (int i = 0; i < count; ++i) {
        const auto at = static_cast<std::size_t>(i);
        QString text =
            tr("%1 of %2: %3").arg(i + 1).arg(count).arg(QString::fromStdString(steps[at].title));
        if (run.is_done(at)) text += tr(" (done)");
        if (i >= steps_->count()) steps_->addItem(text);
        if (steps_->itemText(i) != text) steps_->setItemText(i, text);
    }
    if (steps_->currentIndex() != static_cast<int>(run.at()))
        steps_->setCurrentIndex(static_cast<int>(run.at()));
}

void StepPanel::show_model(const BenchModel& model) {
    const BenchRun& run = model.run();
    const BenchStep& step = run.step();
    show_steps(run);
    set_text(words_, QString::fromStdString(step.words));
    set_text(caution_, QString::fromStdString(step.caution));
    fields_->show_fields(run.kind(), run.texts());
    fields_->set_open(!model.listening());
    const bool takes = step.kind == StepKind::record || step.kind == StepKind::run;
    const QString record = model.listening()               ? tr("Stop (F5)")
                           : step.kind == StepKind::result ? tr("Measure (F5)")
                           : step.kind == StepKind::run    ? tr("Begin (F5)")
                                                           : tr("Record (F5)");
    if (record_->text() != record) record_->setText(record);
    record_->setEnabled(takes || step.kind == StepKind::result);
    back_->setEnabled(run.at() > 0 && !model.listening());
    next_->setEnabled(run.at() + 1 < run.steps().size() && !model.listening());
    progress_->setVisible(step.kind == StepKind::record);
    progress_->setValue(static_cast<int>(std::lround(1000.0 * model.progress())));
    // A step to be read has its room for what is to be read.
    const bool reads = step.kind == StepKind::look;
    set_text(how_, reads ? "" : QString::fromStdString(model.progress_words()));
    const QString wrong = QString::fromStdString(model.problem());
    set_text(problem_, wrong.isEmpty() ? "" : "! " + wrong);
}

}  // namespace skedlark::gui
