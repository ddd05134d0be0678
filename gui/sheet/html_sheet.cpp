#include "gui/sheet/html_sheet.h"

#include <QRegularExpression>
#include <QString>

#include "gui/chart/draw_plot.h"

namespace skedlark::gui {
namespace {

constexpr int kPlotWidth = 720;
constexpr int kPlotHeight = 300;
constexpr double kPlotType = 9.0;

const char* const kStyle =
    "body{font:11pt/1.4 sans-serif;color:#16243a;background:#fff;max-width:50em;margin:2em auto;"
    "padding:0 1em}"
    "h1{font-size:1.5em;margin:0 0 .5em}h2{font-size:1.15em;margin:1.6em 0 .4em;"
    "border-bottom:1px solid #16243a}"
    "dl{display:grid;grid-template-columns:max-content 1fr;gap:.1em 1em;margin:0}"
    "dt{font-weight:bold}dd{margin:0;overflow-wrap:anywhere}"
    "p{margin:.5em 0}.verdict{font-size:1.25em;font-weight:bold}"
    ".caution{border:2px solid #16243a;padding:.4em .7em}.caution::before{content:'! ';"
    "font-weight:bold}.small{font-size:.85em}"
    ".copied{font-family:monospace;font-size:1.05em;white-space:pre-wrap;overflow-wrap:anywhere}"
    ".copied u{text-decoration-thickness:2px}"
    "table{border-collapse:collapse;width:100%;margin:.8em 0;font-size:.92em}"
    "caption{text-align:left;font-weight:bold;padding:.2em 0}"
    "th,td{text-align:left;vertical-align:top;padding:.2em .6em .2em 0;border-bottom:1px solid "
    "#cbd0d8}th{border-bottom:1px solid #16243a}.f{text-align:right;"
    "font-variant-numeric:tabular-nums}"
    "figure{margin:1em 0;break-inside:avoid}figcaption{font-size:.85em}svg{width:100%;height:auto}"
    "@media print{body{margin:0;max-width:none;font-size:9.5pt}tr{break-inside:avoid}"
    "h2{break-after:avoid}}";

QString escaped(const std::string& text) { return QString::fromStdString(text).toHtmlEscaped(); }

struct HtmlWriter {
    QString out;

    void operator()(const Words& words) {
        static const char* const kClasses[] = {"", " class=\"verdict\"", " class=\"caution\"",
                                               " class=\"small\""};
        out += QString("<p%1>%2</p>\n")
                   .arg(kClasses[static_cast<int>(words.kind)], escaped(words.text));
    }
    void operator()(const CopiedWords& words) {
        out += "<p class=\"copied\">";
        for (const CopiedRun& run : words.runs)
            out += run.doubtful ? "<u>" + escaped(run.text) + "</u>" : escaped(run.text);
        out += "</p>\n";
    }
    void operator()(const Table& table) {
        out += "<table>\n";
        if (!table.caption.empty()) out += "<caption>" + escaped(table.caption) + "</caption>\n";
        out += "<thead><tr>";
        for (const TableColumn& column : table.columns) cell("th", column, column.head);
        out += "</tr></thead>\n<tbody>\n";
        for (const auto& row : table.rows) {
            out += "<tr>";
            for (std::size_t i = 0; i < table.columns.size(); ++i)
                cell("td", table.columns[i], i < row.size() ? row[i] : "");
            out += "</tr>\n";
        }
        out += "</tbody></table>\n";
    }
    void operator()(const Plot& plot) {
        QString svg =
            QString::fromUtf8(plot_svg(plot, {kPlotWidth, kPlotHeight}, Theme(), kPlotType));
        // The size on paper is the style sheet's; names inside of the picture must not meet those of another.
        static const QRegularExpression kSize("^<svg width=\"[^\"]*\" height=\"[^\"]*\"");
        svg.replace(kSize, QString("<svg role=\"img\" aria-label=\"%1\"")
                               .arg(escaped(plot.title + ": " + plot.said)));
        out += "<figure>" + svg.trimmed() + "\n<figcaption>" + escaped(plot.said) +
               "</figcaption></figure>\n";
    }

 private:
    void cell(const char* tag, const TableColumn& column, const std::string& text) {
        out +=
            QString("<%1%2>%3</%1>").arg(tag, column.figures ? " class=\"f\"" : "", escaped(text));
    }
};

}  // namespace

QByteArray html_of(const Sheet& sheet) {
    HtmlWriter writer;
    writer.out = QString(
                     "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                     "<meta name=\"viewport\" content=\"width=device-width\">\n"
                     "<title>%1</title>\n<style>%2</style>\n</head>\n<body>\n<h1>%1</h1>\n<dl>\n")
                     .arg(escaped(sheet.title), QString(kStyle));
    for (const auto& [name, value] : sheet.facts)
        writer.out += QString("<dt>%1</dt><dd>%2</dd>\n").arg(escaped(name), escaped(value));
    writer.out += "</dl>\n";
    for (const SheetPart& part : sheet.parts) {
        writer.out += "<section>\n";
        if (!part.heading.empty()) writer.out += "<h2>" + escaped(part.heading) + "</h2>\n";
        for (const Block& block : part.blocks) std::visit(writer, block);
        writer.out += "</section>\n";
    }
    writer.out += "</body>\n</html>\n";
    return writer.out.toUtf8();
}

}  // namespace skedlark::gui
