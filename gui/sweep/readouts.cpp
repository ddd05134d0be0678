#include "gui/sweep/readouts.h"

#include <QFontMetrics>
#include <QPainter>
#include <QPolygonF>
#include <algorithm>

namespace skedlark::gui {

namespace {

// The largest face, down to half, in which the text has room.
QFont fitted(QFont face, const QString& text, int width_px, int height_px) {
    const double most = face.pointSizeF();
    for (double points = most; points > 0.35 * most; points *= 0.94) {
        face.setPointSizeF(points);
        const QFontMetrics metrics(face);
        if (metrics.horizontalAdvance(text) <= width_px && metrics.ascent() <= height_px) break;
    }
    return face;
}

void draw_shape(QPainter& painter, const QRectF& box, Readout::Shape shape, const QColor& ink,
                const QColor& paper) {
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setPen(QPen(ink, std::max(2.0, box.width() / 14.0)));
    painter.setBrush(ink);
    const double x = box.center().x();
    const double y = box.center().y();
    const double r = 0.42 * box.width();
    switch (shape) {
        case Readout::Shape::none:
            break;
        case Readout::Shape::ring:
            painter.setBrush(paper);
            painter.drawEllipse(box.center(), r, r);
            break;
        case Readout::Shape::filled:
            painter.drawEllipse(box.center(), r, r);
            break;
        case Readout::Shape::rest:
            painter.drawRect(QRectF(x - r, y - 0.3 * r, 2.0 * r, 0.6 * r));
            break;
        case Readout::Shape::done:
        case Readout::Shape::there:
            painter.drawRect(QRectF(x - 0.8 * r, y - 0.8 * r, 1.6 * r, 1.6 * r));
            break;
        case Readout::Shape::up:
            painter.drawPolygon(
                QPolygonF({{x - r, y + 0.8 * r}, {x + r, y + 0.8 * r}, {x, y - 0.8 * r}}));
            break;
        case Readout::Shape::down:
            painter.drawPolygon(
                QPolygonF({{x - r, y - 0.8 * r}, {x + r, y - 0.8 * r}, {x, y + 0.8 * r}}));
            break;
    }
}

}  // namespace

Readout::Readout(const QString& name, QWidget* parent) : QWidget(parent) {
    setAccessibleName(name);
    setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Preferred);
}

void Readout::restyle(const Theme& theme) {
    theme_ = theme;
    setFont(theme.body());
    updateGeometry();
    update();
}

void Readout::show_text(const Text& text) {
    if (text == text_) return;
    text_ = text;
    setAccessibleDescription(QString("%1 %2. %3").arg(text.above, text.figures, text.below));
    update();
}

QSize Readout::sizeHint() const {
    const QFontMetrics large(theme_.readout());
    const QFontMetrics small(font());
    return {large.horizontalAdvance("0") * 7,
            large.height() * (large_words_ ? 2 : 1) + small.height() * (large_words_ ? 1 : 2)};
}

QSize Readout::minimumSizeHint() const { return {sizeHint().width() * 3 / 4, sizeHint().height()}; }

void Readout::paintEvent(QPaintEvent* /*event*/) {
    QPainter painter(this);
    painter.fillRect(rect(), theme_.paper());
    const QFontMetrics small(font());
    const int edge = small.averageCharWidth() / 2;
    const QRect all = rect().adjusted(edge, 0, -edge, 0);
    const int below = small.height();
    const int above = large_words_ ? (all.height() - below) / 2 : small.height();
    const int figures = all.height() - above - below;
    const int side = std::min(
        {figures, above + figures, all.width() / 5, QFontMetrics(theme_.readout()).ascent()});
    const int shape_row = large_words_ ? 0 : above;
    const int shape_tall = large_words_ ? above : figures;
    draw_shape(painter, QRectF(all.left(), shape_row + (shape_tall - side) / 2.0, side, side),
               text_.shape, theme_.ink(), theme_.paper());
    const int indent = text_.shape == Shape::none ? 0 : side + 2 * edge;
    const auto line = [&](const QString& text, const QRect& box, const QFont& face) {
        painter.setPen(theme_.ink());
        painter.setFont(fitted(face, text, box.width(), box.height()));
        painter.drawText(box, Qt::AlignLeft | Qt::AlignVCenter | Qt::TextDontClip, text);
    };
    const QFont large = theme_.readout();
    line(text_.above,
         {all.left() + (large_words_ ? indent : 0), 0, all.width() - (large_words_ ? indent : 0),
          above},
         large_words_ ? large : font());
    line(text_.figures,
         {all.left() + (large_words_ ? 0 : indent), above,
          all.width() - (large_words_ ? 0 : indent), figures},
         large);
    line(text_.below, {all.left(), above + figures, all.width(), below}, font());
}

Readout::Text text_of(const PaceView& view) {
    Readout::Text text{QString::fromStdString(view.words), QString::fromStdString(view.figures),
                       QString::fromStdString(view.beside), Readout::Shape::ring};
    switch (view.shape) {
        case PaceShape::ring:
            text.shape = Readout::Shape::ring;
            break;
        case PaceShape::filled:
            text.shape = Readout::Shape::filled;
            break;
        case PaceShape::rest:
            text.shape = Readout::Shape::rest;
            break;
        case PaceShape::done:
            text.shape = Readout::Shape::done;
            break;
    }
    return text;
}

Readout::Text text_of(const ZeroInView& view) {
    QString below = QString::fromStdString(view.pitch);
    if (!view.note.empty()) below += "; " + QString::fromStdString(view.note);
    const auto shape = view.there      ? Readout::Shape::there
                       : view.turn > 0 ? Readout::Shape::up
                       : view.turn < 0 ? Readout::Shape::down
                                       : Readout::Shape::none;
    return {QString::fromStdString(view.action), QString::fromStdString(view.figure), below, shape};
}

}  // namespace skedlark::gui
