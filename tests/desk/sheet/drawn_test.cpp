// The same sheet as HTML and as PDF: both have all of it.
#include <gtest/gtest.h>

#include <QRegularExpression>
#include <QSizeF>

#include "gui/sheet/html_sheet.h"
#include "gui/sheet/pdf_sheet.h"
#include "tests/desk/sheet/results.h"

namespace skedlark::gui {
namespace {

int count_of(const QByteArray& all, const char* part) {
    int count = 0;
    for (qsizetype at = all.indexOf(part); at >= 0; at = all.indexOf(part, at + 1)) ++count;
    return count;
}

// Streams of a PDF, unpacked (zlib, RFC 1950; qUncompress wants the length in front).
QByteArray streams_of(const QByteArray& pdf) {
    QByteArray all;
    for (qsizetype at = pdf.indexOf("stream\n"); at >= 0; at = pdf.indexOf("stream\n", at + 1)) {
        if (pdf.mid(at - 3, 3) == "end") continue;
        // Fonts are packed in another way.
        const qsizetype object = pdf.lastIndexOf("obj", at);
        if (!pdf.mid(object, at - object).contains("/FlateDecode")) continue;
        const qsizetype end = pdf.indexOf("endstream", at);
        const QByteArray packed = pdf.mid(at + 7, end - at - 7);
        all += qUncompress(QByteArray::fromHex("00100000") + packed);
    }
    return all;
}

int pages_of(const QByteArray& pdf) {
    const QRegularExpression page("/Type /Page\\b(?!s)");
    int pages = 0;
    auto found = page.globalMatch(QString::fromLatin1(pdf));
    while (found.hasNext()) {
        found.next();
        ++pages;
    }
    return pages;
}

class Drawn : public ::testing::TestWithParam<std::string> {};

TEST_P(Drawn, HtmlHasEveryWordTableAndPlot) {
    const Sheet sheet = sheet_of(GetParam());
    const QByteArray html = html_of(sheet);
    EXPECT_EQ(count_of(html, "<svg "), static_cast<int>(sheet.plots()));
    EXPECT_EQ(count_of(html, "</svg>"), static_cast<int>(sheet.plots()));
    EXPECT_EQ(count_of(html, "<table>"), static_cast<int>(sheet.tables()));
    for (const Words* words : blocks_of<Words>(sheet))
        EXPECT_TRUE(html.contains(QString::fromStdString(words->text).toHtmlEscaped().toUtf8()));
    for (const Plot* plot : blocks_of<Plot>(sheet)) {
        for (const PlotSeries& series : plot->series) {
            if (plot->series.size() < 2) continue;
            EXPECT_TRUE(html.contains(series.name.c_str())) << series.name;
        }
        EXPECT_TRUE(html.contains(QString::fromStdString(plot->x.title).toUtf8()));
    }
    // Nothing is fetched from anywhere.
    for (const char* outside : {"<script", "<link", "<img", "src=", "url(", "@import"})
        EXPECT_FALSE(html.contains(outside)) << outside;
    EXPECT_EQ(count_of(html, "<p"),
              count_of(html, "</p>") + count_of(html, "<path") + count_of(html, "<polyline"));
}

TEST_P(Drawn, PdfHasAsManyPlotsAndText) {
    const Sheet sheet = sheet_of(GetParam());
    const QByteArray pdf = pdf_of(sheet);
    EXPECT_TRUE(pdf.startsWith("%PDF-1."));
    EXPECT_TRUE(pdf.trimmed().endsWith("%%EOF"));
    EXPECT_GE(pages_of(pdf), 1);
    EXPECT_TRUE(pdf.contains("/Font"));
    const QByteArray drawn = streams_of(pdf);
    EXPECT_GT(count_of(drawn, "Tj"), 20);            // text as text
    EXPECT_EQ(count_of(pdf, "/Subtype /Image"), 0);  // plots as lines
    // The same sheet without its plots: what is gone was drawn by them.
    Sheet bare = sheet;
    for (SheetPart& part : bare.parts)
        std::erase_if(part.blocks, [](const Block& b) { return std::holds_alternative<Plot>(b); });
    const QByteArray without = streams_of(pdf_of(bare));
    const auto plots = static_cast<qsizetype>(sheet.plots());
    EXPECT_GE(drawn.size(), without.size() + 500 * plots);
}

INSTANTIATE_TEST_SUITE_P(Kinds, Drawn,
                         ::testing::Values(kFistResult, kCopyResult, kSweepResult, kDrillResult));

TEST(DrawnSheet, WhatLooksLikeMarkupIsText) {
    Sheet sheet;
    sheet.title = "<b>&";
    SheetPart part;
    part.heading = "a < b";
    part.say(WordsKind::caution, "<script>alert(1)</script>");
    part.blocks.push_back(Table{"\"c\"", {{"<i>", true}}, {{"</td>"}, {}}});
    part.blocks.push_back(CopiedWords{{{"K", false}, {"S<", true}}});
    sheet.parts.push_back(part);
    const QByteArray html = html_of(sheet);
    EXPECT_FALSE(html.contains("<script"));
    EXPECT_TRUE(html.contains("<td class=\"f\">&lt;/td&gt;</td>"));
    EXPECT_TRUE(html.contains("K<u>S&lt;</u>"));
    EXPECT_TRUE(html.contains("class=\"caution\""));
    EXPECT_TRUE(pdf_of(sheet).startsWith("%PDF"));
    EXPECT_TRUE(pdf_of(Sheet{}).startsWith("%PDF"));
}

// A plot that goes to the next page is drawn there and nowhere else.
TEST(DrawnSheet, APlotIsDrawnOnce) {
    Plot plot;
    plot.title = "one";
    plot.x.title = "x";
    plot.y.title = "y";
    plot.series = {{"a", SeriesLook::line, {0, 1}, {0, 1}},
                   {"b", SeriesLook::dots, {0, 1}, {1, 0}}};
    Sheet alone;
    alone.parts.emplace_back();
    alone.parts[0].blocks.push_back(plot);
    const int strokes = count_of(streams_of(pdf_of(alone)), "\nS\n");
    ASSERT_GT(strokes, 0);
    for (int lines = 20; lines < 60; lines += 4) {
        Sheet sheet;
        sheet.parts.emplace_back();
        for (int i = 0; i < lines; ++i) sheet.parts[0].say("words");
        sheet.parts[0].blocks.push_back(plot);
        EXPECT_EQ(count_of(streams_of(pdf_of(sheet)), "\nS\n"), strokes)
            << lines << " lines before it";
    }
}

// As many pages as it takes, each on the paper asked for: A4 is 595 by 842 points (ISO 216), US letter 612 by
// 792 (ANSI/ASME Y14.1).
TEST(DrawnSheet, PagesAndPaper) {
    Sheet sheet;
    Table table{"long", {{"n", true}, {"what", false}}, {}};
    for (int i = 0; i < 200; ++i) table.rows.push_back({std::to_string(i), "row"});
    SheetPart part;
    part.blocks.push_back(table);
    sheet.parts.push_back(part);
    const QByteArray a4 = pdf_of(sheet);
    EXPECT_GT(pages_of(a4), 2);
    const auto box = [](const QByteArray& pdf) {
        const QRegularExpression media(R"(/MediaBox \[\s*0 0 ([\d.]+) ([\d.]+))");
        const auto match = media.match(QString::fromLatin1(pdf));
        return QSizeF(match.captured(1).toDouble(), match.captured(2).toDouble());
    };
    EXPECT_NEAR(box(a4).width(), 595.0, 1.0);
    EXPECT_NEAR(box(a4).height(), 842.0, 1.0);
    const QByteArray letter = pdf_of(sheet, Paper::letter);
    EXPECT_NEAR(box(letter).width(), 612.0, 1.0);
    EXPECT_NEAR(box(letter).height(), 792.0, 1.0);
}

}  // namespace
}  // namespace skedlark::gui
