#include "gui/plan/chart_view.h"

#include <QAreaSeries>
#include <QDir>
#include <QGridLayout>
#include <QLineSeries>
#include <QPainter>
#include <QSaveFile>
#include <QScatterSeries>
#include <QSvgGenerator>
#include <QVBoxLayout>
#include <QValueAxis>
#include <algorithm>

namespace skedlark::gui {

namespace {

template <typename Series>
Series* series_of(const std::vector<XY>& points) {
    auto* series = new Series;
    QList<QPointF> list;
    for (const XY& point : points) list.append(QPointF(point.x, point.y));
    series->replace(list);
    return series;
}

QScatterSeries* dots(const std::vector<XY>& points, QScatterSeries::MarkerShape shape, double size,
                     const QColor& fill, const QColor& rim) {
    auto* series = series_of<QScatterSeries>(points);
    series->setMarkerShape(shape);
    series->setMarkerSize(size);
    series->setColor(fill);
    series->setBorderColor(rim);
    return series;
}

}  // namespace

ChartView::ChartView(DeskState& desk, QWidget* parent)
    : QWidget(parent),
      desk_(desk),
      band_(new QComboBox(this)),
      entry_(new QLineEdit(this)),
      known_(new QListWidget(this)),
      remove_(new QPushButton(tr("Remove station"), this)),
      path_(new QLineEdit(this)),
      save_(new QPushButton(tr("Save picture"), this)),
      words_(new QLabel(this)),
      problem_(new QLabel(this)),
      upper_(new QChartView(this)),
      lower_(new QChartView(this)) {
    upper_->setAccessibleName(tr("Chart of the band: megahertz by division"));
    lower_->setAccessibleName(tr("Divisions off the chart, with the 95 per cent band"));
    for (QChartView* view : {upper_, lower_}) {
        view->setFocusPolicy(Qt::NoFocus);
        view->setRenderHint(QPainter::Antialiasing);
        view->setFrameShape(QFrame::NoFrame);
        view->chart()->legend()->hide();
        view->chart()->setMargins(QMargins(2, 2, 2, 2));
        view->chart()->setBackgroundRoundness(0);
    }
    for (QLabel* label : {words_, problem_}) {
        label->setWordWrap(true);
        label->setTextFormat(Qt::PlainText);
    }
    words_->setObjectName("correction_words");
    problem_->setObjectName("chart_problem");
    auto* charts = new QVBoxLayout;
    charts->addWidget(words_);
    charts->addWidget(upper_, 3);
    charts->addWidget(lower_, 2);
    auto* all = new QHBoxLayout(this);
    all->setContentsMargins(0, 0, 0, 0);
    all->addWidget(make_side());
    all->addLayout(charts, 1);
    resized_.setSingleShot(true);
    connect(&resized_, &QTimer::timeout, this, &ChartView::redraw);
    connect(band_, &QComboBox::currentIndexChanged, this, &ChartView::redraw);
    connect(entry_, &QLineEdit::returnPressed, this, &ChartView::add_known);
    connect(remove_, &QPushButton::clicked, this, &ChartView::remove_known);
    connect(save_, &QPushButton::clicked, this, &ChartView::save_picture);
    connect(path_, &QLineEdit::returnPressed, this, &ChartView::save_picture);
    connect(&desk_, &DeskState::receiver_changed, this, &ChartView::take_receiver);
    take_receiver();
}

QWidget* ChartView::make_side() {
    band_->setObjectName("chart_band");
    band_->setAccessibleName(tr("Band of the chart"));
    entry_->setObjectName("known_entry");
    entry_->setAccessibleName(tr("Known station: megahertz = division; Enter adds it"));
    entry_->setPlaceholderText(tr("MHz=division"));
    known_->setObjectName("known");
    known_->setAccessibleName(tr("Known stations"));
    remove_->setAccessibleName(tr("Remove the chosen known station"));
    path_->setObjectName("picture_path");
    path_->setAccessibleName(tr("File of the picture, .svg or .png; Enter saves it"));
    path_->setText("chart.svg");
    save_->setAccessibleName(tr("Save the picture of the chart"));
    auto* side = new QWidget(this);
    auto* column = new QVBoxLayout(side);
    column->setContentsMargins(0, 0, 0, 0);
    const auto captioned = [&](const QString& caption, QWidget* widget) {
        auto* label = new QLabel(caption, side);
        label->setBuddy(widget);
        column->addWidget(label);
        column->addWidget(widget);
    };
    captioned(tr("&Band"), band_);
    captioned(tr("&Known station heard"), entry_);
    column->addWidget(known_, 1);
    column->addWidget(remove_);
    captioned(tr("Picture (.svg, .png)"), path_);
    column->addWidget(save_);
    column->addWidget(problem_);
    return side;
}

void ChartView::take_receiver() {
    const QString before = band_->currentText();
    band_->blockSignals(true);
    band_->clear();
    if (desk_.receiver()) {
        for (const auto& band : desk_.receiver()->bands) {
            band_->addItem(QString::fromStdString(band.name));
        }
    }
    band_->setCurrentIndex(std::max(0, band_->findText(before)));
    band_->blockSignals(false);
    known_->clear();
    for (const auto& station : desk_.known()) {
        known_->addItem(tr("%1 MHz at %2").arg(station.mhz).arg(station.div));
    }
    redraw();
}

void ChartView::redraw() {
    for (const QChartView* view : {upper_, lower_}) {
        QChart& chart = *view->chart();
        chart.setBackgroundBrush(desk_.theme().paper());
        chart.removeAllSeries();
        for (QAbstractAxis* axis : chart.axes()) {
            chart.removeAxis(axis);
            delete axis;
        }
    }
    if (!desk_.receiver()) {
        words_->setText(tr("No receiver file is open: Ctrl+O, then its path and Enter."));
        return;
    }
    // Charts are slow with many points: one for every second pixel does.
    const auto count = static_cast<std::size_t>(std::clamp(width() / 2, 100, 1000));
    const ChartPicture picture =
        chart_picture(*desk_.receiver(), band_->currentText().toStdString(), desk_.known(), count);
    words_->setText(
        QString::fromStdString(picture.problem.empty() ? picture.words : picture.problem));
    draw(*upper_->chart(), picture, true);
    draw(*lower_->chart(), picture, false);
}

void ChartView::draw(QChart& chart, const ChartPicture& picture, bool upper) const {
    const Theme theme = desk_.theme();
    const double size = 0.7 * QFontMetricsF(theme.body()).height();
    if (upper) {
        chart.addSeries(series_of<QLineSeries>(picture.curve));
        chart.addSeries(dots(picture.points, QScatterSeries::MarkerShapeCircle, size, theme.ink(),
                             Qt::transparent));
    } else {
        auto* band = new QAreaSeries(series_of<QLineSeries>(picture.high95),
                                     series_of<QLineSeries>(picture.low95));
        band->upperSeries()->setParent(band);  // it does not own its edges
        band->lowerSeries()->setParent(band);
        chart.addSeries(band);  // before its ink: the chart gives it one of its own
        band->setBrush(theme.ink(Theme::kRule));
        band->setPen(QPen(theme.ink(Theme::kFaint), 1.0));
        chart.addSeries(series_of<QLineSeries>(picture.correction));
        chart.addSeries(dots(picture.residuals, QScatterSeries::MarkerShapeCircle, size,
                             theme.paper(), theme.ink()));
        chart.addSeries(dots(picture.known, QScatterSeries::MarkerShapeRectangle, size, theme.ink(),
                             Qt::transparent));
        chart.addSeries(dots(picture.left_out, QScatterSeries::MarkerShapeTriangle, 1.3 * size,
                             theme.paper(), theme.ink()));
    }
    for (QAbstractSeries* series : chart.series()) {
        if (auto* line = qobject_cast<QLineSeries*>(series)) line->setPen(QPen(theme.ink(), 2.0));
    }
    chart.createDefaultAxes();
    // With very large type on a small screen the words above the charts must do.
    const bool roomy = height() > 20.0 * QFontMetricsF(theme.body()).height();
    const QString y_name = upper ? tr("MHz") : tr("off, div");
    for (QAbstractAxis* axis : chart.axes()) {
        axis->setLabelsFont(theme.body());
        axis->setTitleFont(theme.body());
        axis->setLabelsColor(theme.ink());
        axis->setTitleBrush(theme.ink());
        axis->setGridLineColor(theme.ink(Theme::kRule));
        axis->setLinePenColor(theme.ink(Theme::kFaint));
        auto* values = qobject_cast<QValueAxis*>(axis);
        if (axis->orientation() == Qt::Horizontal) {
            values->setRange(desk_.receiver()->from_div, desk_.receiver()->to_div);
            values->setTickCount(6);
            values->setLabelFormat("%.0f");
            if (!upper && roomy) axis->setTitleText(tr("division"));
        } else {
            if (roomy) axis->setTitleText(y_name);
            values->setTickCount(upper ? 5 : 3);
            values->applyNiceNumbers();
            values->setLabelFormat("%.2f");
        }
    }
}

void ChartView::add_known() {
    const auto station = read_known(entry_->text().trimmed().toStdString());
    if (!station) {
        problem_->setText("! " + QString::fromStdString(station.error().message));
        return;
    }
    const std::string band = band_->currentText().toStdString();
    if (desk_.receiver()) {
        const auto fits = dial::Dial::create(*desk_.receiver(), band, std::span(&*station, 1));
        if (!fits) {
            problem_->setText("! " + QString::fromStdString(fits.error().message));
            return;
        }
    }
    problem_->clear();
    entry_->clear();
    auto known = desk_.known();
    known.push_back(*station);
    desk_.set_known(std::move(known));
}

void ChartView::remove_known() {
    const int row = known_->currentRow();
    if (row < 0) return;
    auto known = desk_.known();
    known.erase(known.begin() + row);
    desk_.set_known(std::move(known));
}

void ChartView::save_picture() {
    const QString path = path_->text().trimmed();
    const QSize size(upper_->width(), upper_->height() + lower_->height());
    const auto paint = [&](QPaintDevice* on) {
        QPainter painter(on);
        upper_->render(&painter, QRectF(0, 0, size.width(), upper_->height()));
        lower_->render(&painter, QRectF(0, upper_->height(), size.width(), lower_->height()));
    };
    QSaveFile file(path);
    bool good = file.open(QIODevice::WriteOnly);
    if (path.endsWith(".svg", Qt::CaseInsensitive)) {
        QSvgGenerator svg;
        svg.setOutputDevice(&file);
        svg.setSize(size);
        svg.setViewBox(QRect(QPoint(0, 0), size));
        if (good) paint(&svg);
    } else if (path.endsWith(".png", Qt::CaseInsensitive)) {
        QImage image(size, QImage::Format_RGB32);
        image.fill(desk_.theme().paper());
        paint(&image);
        good = good && image.save(&file, "PNG");
    } else {
        file.cancelWriting();
        problem_->setText(
            tr("! '%1' is no picture; allowed: a path ending in .svg or .png").arg(path));
        return;
    }
    good = good && file.commit();
    problem_->setText(good ? tr("saved: %1").arg(QDir::current().absoluteFilePath(path))
                           : tr("! %1: %2").arg(path, file.errorString()));
}

void ChartView::restyle() {
    const int least = static_cast<int>(4.5 * QFontMetricsF(desk_.theme().body()).height());
    for (QChartView* view : {upper_, lower_}) view->setMinimumHeight(least);
    redraw();
}

void ChartView::resizeEvent(QResizeEvent* event) {
    QWidget::resizeEvent(event);
    resized_.start(0);
}

}  // namespace skedlark::gui
