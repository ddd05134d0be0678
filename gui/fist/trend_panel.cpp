#include "gui/fist/trend_panel.h"

#include <QChart>
#include <QDateTime>
#include <QHBoxLayout>
#include <QTimeZone>
#include <QVBoxLayout>
#include <algorithm>
#include <cmath>

#include "gui/fist/chart_look.h"

namespace skedlark::gui {

namespace {

constexpr qint64 kWeekMs = 7LL * 24 * 3600 * 1000;

qint64 ms_of(UtcTime time) { return time.time_since_epoch().count(); }

}  // namespace

TrendPanel::TrendPanel(QWidget* parent)
    : QWidget(parent),
      choice_(new QComboBox(this)),
      words_(new QLabel(this)),
      view_(new QChartView(this)),
      line_(new QLineSeries(this)),
      points_(new QScatterSeries(this)),
      dates_(new QDateTimeAxis(this)),
      values_(new QValueAxis(this)),
      table_(new RowTable(tr("Weeks of sending"),
                          {tr("Week of"), tr("Sent"), tr("Score"), tr("wpm"), tr("Tests"),
                           tr("Test score"), tr("Faults"), tr("Hardest, faulty/keyed")},
                          this)) {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(0, 2, 0, 0);
    rows->setSpacing(2);
    auto* top = new QHBoxLayout;
    choice_->setAccessibleName(tr("Figure followed from week to week"));
    words_->setAccessibleName(tr("What is kept"));
    words_->setWordWrap(true);
    top->addWidget(choice_);
    top->addWidget(words_, 1);
    rows->addLayout(top);
    view_->setAccessibleName(tr("Trend over weeks"));
    view_->setMinimumHeight(110);
    rows->addWidget(view_, 5);
    rows->addWidget(table_, 2);
    prepare_chart(*view_);
    view_->chart()->addSeries(line_);
    view_->chart()->addSeries(points_);
    view_->chart()->addAxis(dates_, Qt::AlignBottom);
    view_->chart()->addAxis(values_, Qt::AlignLeft);
    for (QXYSeries* series : {static_cast<QXYSeries*>(line_), static_cast<QXYSeries*>(points_)}) {
        series->attachAxis(dates_);
        series->attachAxis(values_);
    }
    dates_->setFormat("d MMM");
    dates_->setTickCount(4);
    values_->setLabelFormat("%.0f");
    values_->setTickCount(3);
    points_->setMarkerSize(7.0);
    connect(choice_, &QComboBox::currentIndexChanged, this, &TrendPanel::show_choice);
    show_weeks({}, "");
}

void TrendPanel::restyle(const Theme& theme) {
    theme_ = theme;
    style_chart(*view_, theme);
    line_->setPen(QPen(theme.ink(), 2.0));
    points_->setBrush(theme.ink());
    points_->setBorderColor(theme.ink());
    choice_->setFont(theme.body());
    words_->setFont(theme.body());
    table_->restyle(theme);
    show_choice();
}

void TrendPanel::show_weeks(const std::vector<log::WeekOfSending>& weeks, const QString& words) {
    words_->setText(words);
    weeks_ = weeks;
    choices_ = trend_choices(weeks);
    const QString before = choice_->currentText();
    const QSignalBlocker quiet(choice_);
    choice_->clear();
    for (const TrendChoice& choice : choices_) {
        choice_->addItem(QString::fromStdString(choice.words));
    }
    choice_->setCurrentIndex(std::max(0, choice_->findText(before)));
    std::vector<std::vector<std::string>> cells;
    for (const TrendRow& row : trend_rows(weeks)) {
        cells.push_back({row.week, row.attempts, row.score, row.speed, row.tests, row.test_score,
                         row.faults, row.hardest});
    }
    table_->show_rows(cells);
    show_choice();
}

void TrendPanel::show_choice() {
    const int index = choice_->currentIndex();
    if (index < 0 || index >= static_cast<int>(choices_.size())) return;
    const TrendChoice& choice = choices_[static_cast<std::size_t>(index)];
    QList<QPointF> points;
    double most = 0.0;
    for (const TrendPoint& point : trend_line(weeks_, choice)) {
        points << QPointF(static_cast<double>(ms_of(point.monday)), point.value);
        most = std::max(most, point.value);
    }
    line_->replace(points);
    points_->replace(points);
    const bool score = choice.of == TrendOf::score || choice.of == TrendOf::test_score;
    values_->setRange(0.0, score ? 100.0 : std::max(10.0, 5.0 * std::ceil(1.05 * most / 5.0)));
    if (!weeks_.empty()) {
        const auto at = [](qint64 ms) {
            return QDateTime::fromMSecsSinceEpoch(ms, QTimeZone::utc());
        };
        dates_->setRange(at(ms_of(weeks_.front().monday) - kWeekMs / 2),
                         at(ms_of(weeks_.back().monday) + kWeekMs / 2));
        const auto spans =
            (ms_of(weeks_.back().monday) - ms_of(weeks_.front().monday)) / kWeekMs + 2;
        dates_->setTickCount(static_cast<int>(std::clamp<qint64>(spans, 2, 4)));
    }
    style_axis(*dates_, theme_, "");
    style_axis(*values_, theme_, QString::fromStdString(choice.unit));
    view_->setAccessibleDescription(
        tr("%1, %2 weeks").arg(choice_->currentText()).arg(points.size()));
}

}  // namespace skedlark::gui
