// Plots drawn without a display.
#include "gui/chart/draw_plot.h"

#include <gtest/gtest.h>

#include <QGraphicsLayout>
#include <QImage>
#include <QXmlStreamReader>
#include <cmath>
#include <limits>

#include "gui/chart/plot_view.h"

namespace skedlark::gui {
namespace {

Plot example() {
    Plot plot;
    plot.title = "Pitch & time";
    plot.said = "falls <slowly>";
    plot.x.title = "time (min)";
    plot.y.title = "pitch (Hz)";
    PlotSeries line{"measured", SeriesLook::line, {0, 1, 2, 3}, {700, 690, 685, 684}};
    line.low = {699, 689, 684, 683};
    line.high = {701, 691, 686, 685};
    plot.series = {line, {"expected", SeriesLook::dots, {0, 1, 2, 3}, {701, 691, 684, 683}}};
    plot.marks = {{690.0, false, "limit"}, {2.5, true, "supply low"}};
    return plot;
}

// All text of an SVG, and whether it is well-formed.
QStringList texts_of(const QByteArray& svg) {
    QStringList texts;
    QXmlStreamReader reader(svg);
    while (!reader.atEnd()) {
        reader.readNext();
        if (reader.isCharacters() && !reader.isWhitespace())
            texts += reader.text().toString().trimmed();
    }
    EXPECT_FALSE(reader.hasError()) << reader.errorString().toStdString();
    return texts;
}

int ink_in(const QImage& image, const QRect& where) {
    int dark = 0;
    for (int y = where.top(); y <= where.bottom(); ++y) {
        for (int x = where.left(); x <= where.right(); ++x)
            dark += qGray(image.pixel(x, y)) < 128 ? 1 : 0;
    }
    return dark;
}

TEST(DrawPlot, SvgSaysWhatItShows) {
    const QByteArray svg = plot_svg(example(), {640, 320}, Theme(), 9.0);
    ASSERT_TRUE(svg.startsWith("<svg"));
    const QStringList texts = texts_of(svg);
    for (const char* wanted : {"Pitch & time", "time (min)", "pitch (Hz)", "measured", "expected",
                               "limit", "supply low", "falls <slowly>", "690"}) {
        EXPECT_TRUE(texts.join('|').contains(wanted)) << wanted << texts.join('|').toStdString();
    }
}

TEST(DrawPlot, EverySeriesIsInTheChart) {
    QChart chart;
    draw_plot(chart, example(), Theme(), 9.0);
    QStringList names;
    for (const QAbstractSeries* series : chart.series()) {
        if (!series->name().isEmpty()) names += series->name();
    }
    EXPECT_EQ(names, QStringList({"measured", "expected"}));
    EXPECT_EQ(chart.series().size(), 2 + 4 + 2 * 2);  // four whiskers; a line and a name each mark
    draw_plot(chart, Plot{}, Theme(), 9.0);
    EXPECT_TRUE(chart.series().isEmpty());  // nothing of the last one is left
}

// The value 10 of 0 to 20 lies in the middle of the plot's height: asked of the picture itself.
TEST(DrawPlot, ALineLiesWhereItsValuesAre) {
    Plot plot;
    plot.x.from = 0.0;
    plot.x.to = 10.0;
    plot.y.from = 0.0;
    plot.y.to = 20.0;
    plot.series = {{"", SeriesLook::line, {0, 10}, {10, 10}}};
    QChart chart;
    chart.resize(600, 400);
    draw_plot(chart, plot, Theme(), 9.0);
    chart.layout()->activate();
    const QRectF area = chart.plotArea();
    EXPECT_NEAR(chart.mapToPosition({5, 10}).y(), area.center().y(), 1.0);
    QImage image(600, 400, QImage::Format_RGB32);
    image.fill(Qt::white);
    QPainter painter(&image);
    paint_plot(painter, QRectF(0, 0, 600, 400), plot, Theme(), 9.0);
    painter.end();
    const QRect inside = area.adjusted(20, 20, -20, -20).toRect();
    EXPECT_GT(ink_in(image, inside), inside.width() / 2);
    const int middle = static_cast<int>(std::lround(area.center().y()));
    EXPECT_GT(ink_in(image, {inside.left(), middle - 3, inside.width(), 7}), inside.width() / 2);
    EXPECT_EQ(ink_in(image, {inside.left(), inside.top(), inside.width(), 20}), 0);
}

TEST(DrawPlot, GapsManyPointsAndNothing) {
    constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
    Plot plot;
    plot.series = {{"a", SeriesLook::line, {0, 1, 2, 3}, {1, kNone, 2, 3}}};
    QChart chart;
    draw_plot(chart, plot, Theme(), 9.0);
    EXPECT_EQ(chart.series().size(), 2);
    PlotSeries many{"b", SeriesLook::line, {}, {}};
    for (int i = 0; i < 200; ++i) {
        many.x.push_back(i);
        many.y.push_back(std::sin(0.1 * i));
        many.low.push_back(many.y.back() - 0.1);
        many.high.push_back(many.y.back() + 0.1);
    }
    plot.series = {many};
    draw_plot(chart, plot, Theme(), 9.0);
    EXPECT_EQ(chart.series().size(), 2);  // a band and a line, not 200 whiskers
    plot.series = {{"c", SeriesLook::bars, {0, 1, 2}, {1, 2, 3}}};
    plot.x.names = {"Mon", "Mon", "Tue"};
    const QStringList texts = texts_of(plot_svg(plot, {400, 300}, Theme(), 9.0));
    EXPECT_TRUE(texts.contains("Tue"));
    EXPECT_FALSE(texts_of(plot_svg(Plot{}, {400, 300}, Theme(), 9.0)).isEmpty());
}

TEST(PlotView, HasANameAndFollowsTheTheme) {
    PlotView view;
    view.resize(400, 300);
    view.set_plot(example());
    EXPECT_EQ(view.accessibleName(), "Pitch & time");
    EXPECT_EQ(view.accessibleDescription(), "falls <slowly>");
    view.set_theme(Theme(true, 100.0));
    const QImage night = view.grab().toImage();
    EXPECT_LT(qGray(night.pixel(2, 2)), 64);
    view.set_theme(Theme(false, 100.0));
    EXPECT_GT(qGray(view.grab().toImage().pixel(2, 2)), 192);
}

}  // namespace
}  // namespace skedlark::gui
