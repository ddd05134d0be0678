#include "gui/chart/draw_plot.h"

#include <QAreaSeries>
#include <QBuffer>
#include <QCategoryAxis>
#include <QFontMetricsF>
#include <QGraphicsLayout>
#include <QGraphicsScene>
#include <QLegend>
#include <QLegendMarker>
#include <QLineSeries>
#include <QScatterSeries>
#include <QValueAxis>
#include <cmath>

namespace skedlark::gui {
namespace {

constexpr double kMarker = 7.0;

// One chart being filled.
class Drawing {
 public:
    Drawing(QChart& chart, const Plot& plot, const Theme& theme, const QColor& paper,
            const QFont& font)
        : chart_(chart),
          plot_(plot),
          theme_(theme),
          paper_(paper),
          font_(font),
          x_(x_range(plot)),
          y_(y_range(plot)) {}

    void draw() {
        begin();
        std::size_t number = 0;
        for (const PlotSeries& series : plot_.series) add(series, number++);
        for (const PlotMark& mark : plot_.marks) add(mark);
        add_axes();
        legend();
    }

 private:
    void begin() {
        chart_.removeAllSeries();
        for (QAbstractAxis* axis : chart_.axes()) chart_.removeAxis(axis);
        chart_.setAnimationOptions(QChart::NoAnimation);
        chart_.setBackgroundVisible(false);
        chart_.setMargins({2, 2, 2, 2});
        chart_.layout()->setContentsMargins(0, 0, 0, 0);
        QFont bold = font_;
        bold.setBold(true);
        chart_.setTitleFont(bold);
        chart_.setTitleBrush(theme_.ink());
        chart_.setTitle(QString::fromStdString(plot_.title).toHtmlEscaped());
    }

    [[nodiscard]] QPen pen(std::size_t number) const {
        static const Qt::PenStyle kStyles[] = {Qt::SolidLine, Qt::DashLine, Qt::DotLine,
                                               Qt::DashDotLine};
        return {theme_.ink(number < 4 ? 1.0 : Theme::kFaint), 1.6, kStyles[number % 4]};
    }

    void show(QAbstractSeries* series, const std::string& name, bool in_legend) {
        series->setName(QString::fromStdString(name).toHtmlEscaped());
        chart_.addSeries(series);
        if (in_legend && !name.empty()) {
            ++named_;
            return;
        }
        for (QLegendMarker* marker : chart_.legend()->markers(series)) marker->setVisible(false);
    }

    void add(const PlotSeries& series, std::size_t number) {
        const std::size_t count = std::min(series.x.size(), series.y.size());
        if (series.low.size() >= count && series.high.size() >= count && count > 0) {
            count > kMostWhiskers ? add_band(series, count) : add_whiskers(series, count);
        }
        switch (series.look) {
            case SeriesLook::line:
                add_line(series, count, number);
                break;
            case SeriesLook::dots:
                add_dots(series, count, number);
                break;
            case SeriesLook::bars:
                add_bars(series, count, number);
                break;
        }
    }

    void add_line(const PlotSeries& series, std::size_t count, std::size_t number) {
        QLineSeries* line = nullptr;
        bool first = true;
        const auto finish = [&] {
            if (line == nullptr) return;
            line->setPen(pen(number));
            show(line, series.name, first);
            first = false;
            line = nullptr;
        };
        for (std::size_t i = 0; i < count; ++i) {
            if (!std::isfinite(series.x[i]) || !std::isfinite(series.y[i])) {
                finish();
                continue;
            }
            if (line == nullptr) line = new QLineSeries;
            line->append(series.x[i], series.y[i]);
        }
        finish();
    }

    void add_dots(const PlotSeries& series, std::size_t count, std::size_t number) {
        static const QScatterSeries::MarkerShape kShapes[] = {
            QScatterSeries::MarkerShapeCircle, QScatterSeries::MarkerShapeRectangle,
            QScatterSeries::MarkerShapeTriangle, QScatterSeries::MarkerShapeRotatedRectangle};
        auto* dots = new QScatterSeries;
        for (std::size_t i = 0; i < count; ++i) {
            if (std::isfinite(series.x[i]) && std::isfinite(series.y[i]))
                dots->append(series.x[i], series.y[i]);
        }
        // Filled and open in turn, so that overlapping ones are told apart.
        const bool open = number % 2 == 1;
        dots->setMarkerShape(kShapes[number % 4]);
        dots->setMarkerSize(count > 300 ? 0.6 * kMarker : kMarker);
        dots->setColor(open ? paper_ : theme_.ink());
        dots->setBorderColor(theme_.ink());
        show(dots, series.name, true);
    }

    void add_bars(const PlotSeries& series, std::size_t count, std::size_t number) {
        static constexpr double kStrengths[] = {0.75, 0.35, 0.12};
        bool first = true;
        for (std::size_t i = 0; i < count; ++i) {
            if (!std::isfinite(series.x[i]) || !std::isfinite(series.y[i])) continue;
            const double left = series.x[i] - 0.5 * series.bar_width;
            const double right = series.x[i] + 0.5 * series.bar_width;
            add_area({{left, series.y[i]}, {right, series.y[i]}}, {{left, 0.0}, {right, 0.0}},
                     theme_.ink(kStrengths[number % 3]), QPen(theme_.ink(), 0.8),
                     first ? series.name : "");
            first = false;
        }
    }

    void add_area(const QList<QPointF>& upper, const QList<QPointF>& lower, const QColor& fill,
                  const QPen& edge, const std::string& name) {
        auto* above = new QLineSeries;
        auto* below = new QLineSeries;
        above->append(upper);
        below->append(lower);
        auto* area = new QAreaSeries(above, below);
        above->setParent(area);
        below->setParent(area);
        area->setBrush(fill);
        area->setPen(edge);
        show(area, name, true);
    }

    void add_band(const PlotSeries& series, std::size_t count) {
        QList<QPointF> upper;
        QList<QPointF> lower;
        for (std::size_t i = 0; i < count; ++i) {
            if (!std::isfinite(series.low[i]) || !std::isfinite(series.high[i])) continue;
            upper.append({series.x[i], series.high[i]});
            lower.append({series.x[i], series.low[i]});
        }
        add_area(upper, lower, theme_.ink(Theme::kRule), QPen(Qt::NoPen), "");
    }

    void add_whiskers(const PlotSeries& series, std::size_t count) {
        for (std::size_t i = 0; i < count; ++i) {
            if (!std::isfinite(series.low[i]) || !std::isfinite(series.high[i])) continue;
            auto* line = new QLineSeries;
            line->append(series.x[i], series.low[i]);
            line->append(series.x[i], series.high[i]);
            line->setPen(QPen(theme_.ink(), 1.2));
            show(line, "", false);
        }
    }

    void add(const PlotMark& mark) {
        auto* line = new QLineSeries;
        auto* label = new QScatterSeries;
        if (mark.upright) {
            line->append(mark.at, y_.from);
            line->append(mark.at, y_.to);
            label->append(mark.at, y_.from + 0.88 * (y_.to - y_.from));
        } else {
            line->append(x_.from, mark.at);
            line->append(x_.to, mark.at);
            label->append(x_.from + 0.85 * (x_.to - x_.from), mark.at);
        }
        line->setPen(QPen(theme_.ink(Theme::kFaint), 1.2, Qt::DashLine));
        show(line, "", false);
        // A marker that is not seen carries the name.
        label->setMarkerSize(1.0);
        label->setColor(Qt::transparent);
        label->setBorderColor(Qt::transparent);
        QString name = QString::fromStdString(mark.name);
        label->setPointLabelsFormat(name.remove('@'));
        label->setPointLabelsFont(font_);
        label->setPointLabelsColor(theme_.ink());
        label->setPointLabelsClipping(false);
        label->setPointLabelsVisible(true);
        show(label, "", false);
    }

    QAbstractAxis* numbers(const PlotAxis& axis, const PlotRange& range, int most) const {
        const Ticks ticks = ticks_for(range, most, axis.whole);
        auto* values = new QValueAxis;
        values->setRange(range.from, range.to);
        values->setTickType(QValueAxis::TicksDynamic);
        values->setTickAnchor(ticks.first);
        values->setTickInterval(ticks.step);
        values->setLabelFormat(QString("%.%1f").arg(ticks.decimals));
        return values;
    }

    static QAbstractAxis* names(const PlotAxis& axis, const PlotRange& range) {
        auto* words = new QCategoryAxis;
        words->setLabelsPosition(QCategoryAxis::AxisLabelsPositionOnValue);
        words->setStartValue(range.from);
        for (std::size_t i = 0; i < axis.names.size(); ++i) {
            QString name = QString::fromStdString(axis.names[i]);
            // Labels of one axis must differ.
            while (words->categoriesLabels().contains(name)) name += ' ';
            words->append(name, static_cast<double>(i));
        }
        words->setRange(range.from, range.to);
        return words;
    }

    void add_axes() {
        for (const bool upright : {false, true}) {
            const PlotAxis& said = upright ? plot_.y : plot_.x;
            const PlotRange& range = upright ? y_ : x_;
            QAbstractAxis* axis =
                said.names.empty() ? numbers(said, range, upright ? 6 : 10) : names(said, range);
            axis->setTitleText(QString::fromStdString(said.title).toHtmlEscaped());
            axis->setTitleFont(font_);
            axis->setLabelsFont(font_);
            axis->setLabelsColor(theme_.ink());
            axis->setTitleBrush(theme_.ink());
            axis->setGridLineColor(theme_.ink(Theme::kRule));
            axis->setLinePenColor(theme_.ink(Theme::kFaint));
            chart_.addAxis(axis, upright ? Qt::AlignLeft : Qt::AlignBottom);
            for (QAbstractSeries* series : chart_.series()) series->attachAxis(axis);
        }
    }

    void legend() {
        chart_.legend()->setVisible(named_ > 1);
        chart_.legend()->setAlignment(Qt::AlignBottom);
        chart_.legend()->setFont(font_);
        chart_.legend()->setLabelColor(theme_.ink());
        chart_.legend()->setMarkerShape(QLegend::MarkerShapeFromSeries);
    }

    QChart& chart_;
    const Plot& plot_;
    const Theme& theme_;
    QColor paper_;
    QFont font_;
    PlotRange x_, y_;
    int named_ = 0;
};

}  // namespace

void draw_plot(QChart& chart, const Plot& plot, const Theme& theme, double type_points,
               const QColor& paper) {
    QFont font = theme.body();
    font.setPointSizeF(type_points);
    Drawing(chart, plot, theme, paper.isValid() ? paper : theme.paper(), font).draw();
}

void paint_plot(QPainter& painter, const QRectF& where, const Plot& plot, const Theme& theme,
                double type_points) {
    QGraphicsScene scene;
    scene.setItemIndexMethod(QGraphicsScene::NoIndex);
    auto* chart = new QChart;
    scene.addItem(chart);
    chart->resize(where.size());
    draw_plot(*chart, plot, theme, type_points, Qt::white);
    chart->layout()->activate();
    scene.setSceneRect(QRectF(QPointF(), where.size()));
    scene.render(&painter, where, scene.sceneRect());
}

QByteArray plot_svg(const Plot& plot, const QSize& size, const Theme& theme, double type_points) {
    QBuffer buffer;
    QSvgGenerator svg;
    svg.setOutputDevice(&buffer);
    svg.setSize(size);
    svg.setViewBox(QRect(QPoint(), size));
    svg.setResolution(96);
    svg.setTitle(QString::fromStdString(plot.title).toHtmlEscaped());
    svg.setDescription(QString::fromStdString(plot.said).toHtmlEscaped());
    {
        QPainter painter(&svg);
        paint_plot(painter, QRectF(QPointF(), size), plot, theme, type_points);
    }
    const QByteArray whole = buffer.data();
    return whole.mid(std::max(qsizetype{0}, whole.indexOf("<svg")));
}

}  // namespace skedlark::gui
