#include "gui/sheet/pdf_sheet.h"

#include <QAbstractTextDocumentLayout>
#include <QBuffer>
#include <QFontDatabase>
#include <QPainter>
#include <QPdfWriter>
#include <QTextCursor>
#include <QTextDocument>
#include <QTextTable>

#include "gui/common/theme.h"
#include "gui/sheet/plot_object.h"

namespace skedlark::gui {
namespace {

constexpr int kDpi = 300;
constexpr double kBody = 9.5;  // points
constexpr double kMarginMm = 16.0;
constexpr double kFootShare = 0.035;  // of the page's height
constexpr double kPlotShare = 0.42;   // height over width

QString text_of(const std::string& text) { return QString::fromStdString(text); }

// Writes the blocks of a sheet one below the other.
class DocumentWriter {
 public:
    DocumentWriter(QTextDocument& document, const Theme& theme)
        : cursor_(&document), theme_(theme) {
        // Set once, at the end: a long table is set anew with every cell otherwise.
        cursor_.beginEditBlock();
    }
    void end() { cursor_.endEditBlock(); }

    void title(const Sheet& sheet) {
        paragraph(text_of(sheet.title), format(1.6 * kBody, true), {});
        QString facts;
        for (const auto& [name, value] : sheet.facts) {
            next({});
            cursor_.insertText(text_of(name) + ":  ", format(kBody, true));
            cursor_.insertText(text_of(value), format(kBody, false));
        }
    }
    void heading(const std::string& text) {
        QTextBlockFormat block;
        block.setTopMargin(px(14.0));
        block.setBottomMargin(px(3.0));
        paragraph(text_of(text), format(1.25 * kBody, true), block);
    }
    void operator()(const Words& words) {
        QTextBlockFormat block;
        block.setTopMargin(px(4.0));
        QTextCharFormat letters = format(kBody, false);
        if (words.kind == WordsKind::verdict) letters = format(1.3 * kBody, true);
        if (words.kind == WordsKind::small) letters = format(0.85 * kBody, false);
        if (words.kind == WordsKind::caution) {
            letters = format(kBody, true);
            block.setLeftMargin(px(8.0));
        }
        paragraph((words.kind == WordsKind::caution ? "! " : "") + text_of(words.text), letters,
                  block);
    }
    void operator()(const CopiedWords& words) {
        QTextBlockFormat block;
        block.setTopMargin(px(5.0));
        next(block);
        for (const CopiedRun& run : words.runs) {
            QTextCharFormat letters = format(kBody, false);
            letters.setFontFamilies({QFontDatabase::systemFont(QFontDatabase::FixedFont).family()});
            letters.setFontUnderline(run.doubtful);
            // A line break inside of one paragraph.
            cursor_.insertText(text_of(run.text).replace('\n', QChar::LineSeparator), letters);
        }
    }
    void operator()(const Table& table) {
        QTextBlockFormat block;
        block.setTopMargin(px(6.0));
        paragraph(text_of(table.caption), format(kBody, true), block);
        QTextTableFormat look;
        look.setBorder(0.0);
        look.setCellSpacing(0.0);
        look.setCellPadding(px(1.6));
        look.setBottomMargin(px(5.0));
        look.setHeaderRowCount(1);
        look.setWidth(QTextLength(QTextLength::PercentageLength, 100.0));
        const int columns = static_cast<int>(table.columns.size());
        QTextTable* grid =
            cursor_.insertTable(static_cast<int>(table.rows.size()) + 1, columns, look);
        for (int column = 0; column < columns; ++column) {
            const TableColumn& said = table.columns[static_cast<std::size_t>(column)];
            fill(grid->cellAt(0, column), said.head, said.figures, true);
            for (std::size_t row = 0; row < table.rows.size(); ++row) {
                const auto& cells = table.rows[row];
                const auto at = static_cast<std::size_t>(column);
                fill(grid->cellAt(static_cast<int>(row) + 1, column),
                     at < cells.size() ? cells[at] : "", said.figures, false);
            }
        }
        cursor_.movePosition(QTextCursor::End);
        first_ = true;  // the block behind a table is there already
    }
    void operator()(const Plot& /*plot*/) {
        QTextBlockFormat block;
        block.setTopMargin(px(6.0));
        next(block);
        QTextCharFormat object;
        object.setObjectType(PlotObject::kObject);
        object.setProperty(PlotObject::kNumber, plots_++);
        cursor_.insertText(QString(QChar::ObjectReplacementCharacter), object);
    }

 private:
    static double px(double points) { return points * kDpi / 72.0; }

    [[nodiscard]] QTextCharFormat format(double points, bool bold) const {
        QTextCharFormat letters;
        QFont font = theme_.body();
        font.setPointSizeF(points);
        font.setBold(bold);
        letters.setFont(font);
        letters.setForeground(theme_.ink());
        return letters;
    }
    void next(const QTextBlockFormat& block) {
        if (first_) {
            cursor_.setBlockFormat(block);
        } else {
            cursor_.insertBlock(block);
        }
        first_ = false;
    }
    void paragraph(const QString& text, const QTextCharFormat& letters,
                   const QTextBlockFormat& block) {
        next(block);
        cursor_.insertText(text, letters);
    }
    void fill(QTextTableCell cell, const std::string& text, bool figures, bool head) {
        QTextTableCellFormat look = cell.format().toTableCellFormat();
        look.setBottomBorder(px(0.5));
        look.setBottomBorderStyle(QTextFrameFormat::BorderStyle_Solid);
        look.setBottomBorderBrush(theme_.ink(head ? 1.0 : Theme::kRule));
        cell.setFormat(look);
        QTextCursor at = cell.firstCursorPosition();
        QTextBlockFormat block;
        block.setAlignment(figures ? Qt::AlignRight : Qt::AlignLeft);
        at.setBlockFormat(block);
        at.insertText(text_of(text), format(0.92 * kBody, head));
    }

    QTextCursor cursor_;
    const Theme& theme_;
    int plots_ = 0;
    bool first_ = true;
};

void draw_pages(QPdfWriter& writer, QTextDocument& document, const Sheet& sheet,
                const Theme& theme) {
    QPainter painter(&writer);
    const QSizeF page = document.pageSize();
    QFont font = theme.body();
    font.setPointSizeF(0.8 * kBody);
    for (int number = 0; number < document.pageCount(); ++number) {
        if (number > 0) writer.newPage();
        painter.save();
        painter.translate(0.0, -page.height() * number);
        QAbstractTextDocumentLayout::PaintContext context;
        context.palette = theme.palette();
        context.clip = QRectF(0.0, page.height() * number, page.width(), page.height());
        painter.setClipRect(context.clip);
        document.documentLayout()->draw(&painter, context);
        painter.restore();
        painter.setFont(font);
        painter.setPen(theme.ink());
        const QRectF foot(0.0, page.height(), page.width(), writer.height() - page.height());
        painter.drawText(foot, Qt::AlignLeft | Qt::AlignBottom,
                         "Skedlark: " + text_of(sheet.title));
        painter.drawText(foot, Qt::AlignRight | Qt::AlignBottom,
                         QString("%1 of %2").arg(number + 1).arg(document.pageCount()));
    }
}

}  // namespace

QByteArray pdf_of(const Sheet& sheet, Paper paper) {
    QBuffer buffer;
    buffer.open(QIODevice::WriteOnly);
    {
        QPdfWriter writer(&buffer);
        writer.setResolution(kDpi);
        writer.setPageSize(QPageSize(paper == Paper::a4 ? QPageSize::A4 : QPageSize::Letter));
        writer.setPageMargins({kMarginMm, kMarginMm, kMarginMm, kMarginMm},
                              QPageLayout::Millimeter);
        writer.setTitle(text_of(sheet.title));
        writer.setCreator("Skedlark");
        const Theme theme = Theme();
        QTextDocument document;
        document.documentLayout()->setPaintDevice(&writer);
        document.setDocumentMargin(0.0);
        const double width = writer.width();
        PlotObject plots(blocks_of<Plot>(sheet), {width, kPlotShare * width}, kDpi / 96.0);
        document.documentLayout()->registerHandler(PlotObject::kObject, &plots);
        document.setPageSize({width, (1.0 - kFootShare) * writer.height()});
        DocumentWriter text(document, theme);
        text.title(sheet);
        for (const SheetPart& part : sheet.parts) {
            if (!part.heading.empty()) text.heading(part.heading);
            for (const Block& block : part.blocks) std::visit(text, block);
        }
        text.end();
        draw_pages(writer, document, sheet, theme);
    }
    return buffer.data();
}

}  // namespace skedlark::gui
