#include "gui/bench/picture_view.h"

#include <QChart>
#include <QLegend>
#include <QLineSeries>
#include <QScatterSeries>
#include <QValueAxis>
#include <algorithm>
#include <array>
#include <cmath>

namespace skedlark::gui {

namespace {

constexpr std::size_t kMostNamed = 6;  // more names would be a wall of text

// Told apart by their stroke: there is one hue.
constexpr std::array kStrokes = {Qt::SolidLine, Qt::DashLine, Qt::DotLine, Qt::DashDotLine};
constexpr std::array kMarks = {QScatterSeries::MarkerShapeCircle,
                               QScatterSeries::MarkerShapeRectangle,
                               QScatterSeries::MarkerShapeTriangle};

struct Range {
    double low = 1e300;
    double high = -1e300;
    void take(double value) {
        low = std::min(low, value);
        high = std::max(high, value);
    }
    // A little room at both ends; a range of no width gets some.
    void widen() {
        const double by = high > low ? 0.05 * (high - low) : 1.0;
        low -= by;
        high += by;
    }
};

// 1, 2 or 5 times a power of ten: not more than `most` of them in the span.
double nice_step(double span, int most) {
    const double least = span / most;
    const double power = std::pow(10.0, std::floor(std::log10(least)));
    for (const double times : {1.0, 2.0, 5.0}) {
        if (times * power >= least) return times * power;
    }
    return 10.0 * power;
}

QList<QPointF> points_of(const bench::DrawnCurve& curve, double floor) {
    QList<QPointF> points;
    for (const bench::DrawnPoint& p : curve.points) {
        if (curve.as == bench::DrawnAs::bars) points.append({p.x, floor});
        points.append({p.x, p.y});
        if (curve.as == bench::DrawnAs::bars) points.append({p.x, floor});
    }
    return points;
}

}  // namespace

PictureView::PictureView(QWidget* parent) : QChartView(parent) {
    setFocusPolicy(Qt::NoFocus);
    setFrameShape(QFrame::NoFrame);
    setRenderHint(QPainter::Antialiasing);
    chart()->setMargins(QMargins(2, 2, 2, 2));
    chart()->setBackgroundRoundness(0);
    chart()->setAnimationOptions(QChart::NoAnimation);
    show_picture({}, tr("Plot"));
}

void PictureView::restyle(const Theme& theme) {
    theme_ = theme;
    draw();
}

bool PictureView::is_due() const {
    return !drawn_.isValid() || drawn_.elapsed() >= 1000 / kMostASecond;
}

void PictureView::show_picture(const bench::Picture& picture, const QString& what) {
    picture_ = picture;
    what_ = what;
    draw();
}

int PictureView::points() const {
    std::size_t count = 0;
    for (const bench::DrawnCurve& curve : picture_.curves) count += curve.points.size();
    return static_cast<int>(count);
}

void PictureView::draw() {
    drawn_.start();
    setBackgroundBrush(theme_.paper());
    QChart& chart = *this->chart();
    chart.setBackgroundBrush(theme_.paper());
    chart.setBackgroundPen(Qt::NoPen);
    chart.removeAllSeries();
    for (QAbstractAxis* axis : chart.axes()) {
        chart.removeAxis(axis);
        delete axis;
    }
    setAccessibleName(picture_.empty() ? tr("%1: nothing to draw yet").arg(what_)
                                       : tr("%1: %2 against %3, %4 points")
                                             .arg(what_, QString::fromStdString(picture_.y_name),
                                                  QString::fromStdString(picture_.x_name))
                                             .arg(points()));
    chart.legend()->hide();
    if (picture_.empty()) return;
    Range x, y;
    for (const bench::DrawnCurve& curve : picture_.curves) {
        for (const bench::DrawnPoint& p : curve.points) {
            x.take(p.x);
            y.take(p.y);
        }
    }
    // Curves reach from edge to edge; single dots need room about them.
    const bool all_lines = std::all_of(
        picture_.curves.begin(), picture_.curves.end(),
        [](const auto& curve) { return curve.as == bench::DrawnAs::line || curve.points.empty(); });
    if (!all_lines || !(x.high > x.low)) x.widen();
    y.widen();
    std::size_t number = 0;
    const double size = 0.7 * QFontMetricsF(theme_.body()).height();
    for (const bench::DrawnCurve& curve : picture_.curves) {
        QXYSeries* series = nullptr;
        const bool dots = curve.as == bench::DrawnAs::dots || curve.as == bench::DrawnAs::open_dots;
        if (dots) {
            auto* scatter = new QScatterSeries;
            scatter->setMarkerShape(kMarks[number % kMarks.size()]);
            scatter->setMarkerSize(size);
            series = scatter;
        } else {
            series = new QLineSeries;
        }
        series->replace(points_of(curve, y.low));
        series->setName(QString::fromStdString(curve.name));
        chart.addSeries(series);  // before its ink: the chart gives it one of its own
        if (auto* scatter = qobject_cast<QScatterSeries*>(series)) {
            const bool open = curve.as == bench::DrawnAs::open_dots;
            scatter->setColor(open ? theme_.paper() : theme_.ink());
            scatter->setBorderColor(theme_.ink());
        } else {
            series->setPen(QPen(theme_.ink(), curve.as == bench::DrawnAs::bars ? 3.0 : 1.6,
                                kStrokes[number % kStrokes.size()]));
        }
        ++number;
    }
    chart.createDefaultAxes();
    const bool roomy = height() > 9.0 * QFontMetricsF(theme_.body()).height();
    for (QAbstractAxis* axis : chart.axes()) {
        axis->setLabelsFont(theme_.body());
        axis->setTitleFont(theme_.body());
        axis->setLabelsColor(theme_.ink());
        axis->setTitleBrush(theme_.ink());
        axis->setGridLineColor(theme_.ink(Theme::kRule));
        axis->setLinePenColor(theme_.ink(Theme::kFaint));
        auto* values = qobject_cast<QValueAxis*>(axis);
        const bool across = axis->orientation() == Qt::Horizontal;
        const Range& range = across ? x : y;
        const double step = nice_step(range.high - range.low, across ? 8 : 4);
        values->setRange(range.low, range.high);
        values->setTickType(QValueAxis::TicksDynamic);
        values->setTickAnchor(0.0);
        values->setTickInterval(step);
        values->setLabelFormat(step >= 1.0 ? "%.0f" : step >= 0.1 ? "%.1f" : "%.2f");
        if (!across || roomy)
            axis->setTitleText(QString::fromStdString(across ? picture_.x_name : picture_.y_name));
    }
    if (picture_.curves.size() < 2 || picture_.curves.size() > kMostNamed || !roomy) return;
    chart.legend()->setFont(theme_.body());
    chart.legend()->setLabelColor(theme_.ink());
    chart.legend()->setAlignment(Qt::AlignTop);
    chart.legend()->show();
}

}  // namespace skedlark::gui
