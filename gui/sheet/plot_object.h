// A plot as a character of a text document, so that it is set and drawn with the text around it.
//
// Stage:   gui/sheet. In: plots of a sheet by their number. Out: drawn as vectors.
// Units:   the document's.
// Shape:   as wide as the page; registered as kObject with the document's layout.
// Errors:  none.
// Threads: the application's.
// Source:  none
// Checked: tests/desk/sheet/pdf_sheet_test.cpp
#pragma once

#include <QObject>
#include <QTextFormat>
#include <QTextObjectInterface>
#include <vector>

#include "gui/chart/plot.h"

namespace skedlark::gui {

class PlotObject : public QObject, public QTextObjectInterface {
    Q_OBJECT
    Q_INTERFACES(QTextObjectInterface)

 public:
    static constexpr int kObject = QTextFormat::UserObject + 1;
    static constexpr int kNumber = QTextFormat::UserProperty + 1;

    // size: of a plot in the document; scale: document units a pixel of a screen of 96 dpi.
    PlotObject(std::vector<const Plot*> plots, QSizeF size, double scale)
        : plots_(std::move(plots)), size_(size), scale_(scale) {}

    QSizeF intrinsicSize(QTextDocument* document, int position, const QTextFormat& format) override;
    void drawObject(QPainter* painter, const QRectF& where, QTextDocument* document, int position,
                    const QTextFormat& format) override;

 private:
    std::vector<const Plot*> plots_;
    QSizeF size_;
    double scale_;
};

}  // namespace skedlark::gui
