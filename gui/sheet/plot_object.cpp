#include "gui/sheet/plot_object.h"

#include "gui/chart/draw_plot.h"

namespace skedlark::gui {

QSizeF PlotObject::intrinsicSize(QTextDocument* /*document*/, int /*position*/,
                                 const QTextFormat& /*format*/) {
    return size_;
}

void PlotObject::drawObject(QPainter* painter, const QRectF& where, QTextDocument* /*document*/,
                            int /*position*/, const QTextFormat& format) {
    const auto number = static_cast<std::size_t>(format.property(kNumber).toInt());
    if (number >= plots_.size()) return;
    // A chart clips for itself, so that one of the next page would reach into this one. The painter's
    // clip is rounded outwards.
    const QRectF shown = painter->clipBoundingRect().adjusted(0.0, 2.0, 0.0, -2.0);
    if (painter->hasClipping() && !shown.intersects(where)) return;
    painter->save();
    painter->translate(where.topLeft());
    // Lettering of a chart is sized for a screen.
    painter->scale(scale_, scale_);
    paint_plot(*painter, QRectF(QPointF(), where.size() / scale_), *plots_[number], Theme(), 8.0);
    painter->restore();
}

}  // namespace skedlark::gui
