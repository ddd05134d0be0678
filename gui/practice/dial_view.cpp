#include "gui/practice/dial_view.h"

#include <QKeyEvent>
#include <QPainter>
#include <QWheelEvent>
#include <cmath>

namespace skedlark::gui {

namespace {

constexpr double kNearDiv = 1.0;  // to each side of the pointer, in the lower strip
constexpr double kWheelStep = 120.0;

double step_for(Qt::KeyboardModifiers modifiers) {
    if (modifiers & Qt::ControlModifier) return 10.0 * DialView::kTurnDiv;
    if (modifiers & Qt::ShiftModifier) return 0.1 * DialView::kTurnDiv;
    return DialView::kTurnDiv;
}

}  // namespace

DialView::DialView(QWidget* parent) : QWidget(parent) {
    setFocusPolicy(Qt::StrongFocus);
    setAccessibleName(tr("Dial: arrow keys or the wheel turn it"));
}

void DialView::restyle(const Theme& theme) {
    theme_ = theme;
    setFont(theme.body());
    updateGeometry();
    update();
}

void DialView::set_scale(double from_div, double to_div, const QString& band) {
    from_div_ = from_div;
    to_div_ = to_div;
    band_ = band;
    update();
}

void DialView::set_division(double div) {
    if (div == div_) return;
    div_ = div;
    setAccessibleDescription(tr("about %1").arg(div, 0, 'f', 1));
    update();
}

QSize DialView::sizeHint() const {
    const QFontMetrics metrics(font());
    return {metrics.horizontalAdvance("M") * 16, metrics.height() * 5 + 24};
}

void DialView::keyPressEvent(QKeyEvent* event) {
    const double step = step_for(event->modifiers());
    switch (event->key()) {
        case Qt::Key_Left:
        case Qt::Key_Down:
            emit turned(-step);
            return;
        case Qt::Key_Right:
        case Qt::Key_Up:
            emit turned(step);
            return;
        case Qt::Key_PageDown:
            emit turned(-1.0);
            return;
        case Qt::Key_PageUp:
            emit turned(1.0);
            return;
        default:
            QWidget::keyPressEvent(event);
    }
}

void DialView::wheelEvent(QWheelEvent* event) {
    // Some systems turn the wheel sideways while Shift is down.
    const int delta =
        event->angleDelta().y() != 0 ? event->angleDelta().y() : event->angleDelta().x();
    emit turned(delta / kWheelStep * step_for(event->modifiers()));
    event->accept();
}

void DialView::focusInEvent(QFocusEvent* event) {
    QWidget::focusInEvent(event);
    update();
}

void DialView::focusOutEvent(QFocusEvent* event) {
    QWidget::focusOutEvent(event);
    update();
}

void DialView::paint_scale(QPainter& painter, const QRectF& strip, double from_div, double to_div,
                           double every_div, double figures_every_div) const {
    const auto x_of = [&](double div) {
        return strip.left() + (div - from_div) / (to_div - from_div) * strip.width();
    };
    painter.setPen(QPen(theme_.ink(), 1.0));
    painter.drawLine(strip.bottomLeft(), strip.bottomRight());
    const QFontMetricsF metrics(font());
    for (double n = std::ceil(from_div / every_div); n * every_div <= to_div + 1e-9; n += 1.0) {
        const double div = n * every_div;
        if (div < from_div_ - 1e-9 || div > to_div_ + 1e-9) continue;  // the scale ends here
        const bool figured = std::abs(std::remainder(div, figures_every_div)) < 0.01 * every_div;
        const double x = x_of(div);
        painter.drawLine(QPointF(x, strip.bottom()),
                         QPointF(x, strip.bottom() - (figured ? 12 : 6)));
        if (!figured) continue;
        const QString figure = QString::number(div, 'g', 6);
        const double width = metrics.horizontalAdvance(figure);
        if (x - width / 2 < strip.left() || x + width / 2 > strip.right()) continue;
        painter.drawText(QPointF(x - width / 2, strip.bottom() - 14), figure);
    }
    // The pointer, from below: it hides no figure.
    const double x = x_of(div_);
    painter.setBrush(theme_.ink());
    painter.drawPolygon(
        QPolygonF({QPointF(x, strip.bottom() - 4), QPointF(x - 6, strip.bottom() + 9),
                   QPointF(x + 6, strip.bottom() + 9)}));
}

void DialView::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    const QRectF box = QRectF(rect()).adjusted(1.5, 1.5, -1.5, -1.5);
    painter.setPen(QPen(theme_.ink(hasFocus() ? 1.0 : Theme::kFaint), hasFocus() ? 3.0 : 1.0));
    painter.setBrush(theme_.paper());
    painter.drawRect(box);
    painter.setPen(theme_.ink());
    const double line = QFontMetricsF(font()).height();
    painter.drawText(box.adjusted(8, 2, -8, 0), Qt::AlignTop | Qt::AlignLeft, band_);
    const double span = to_div_ - from_div_;
    const double tens = span > 200.0 ? 100.0 : span > 20.0 ? 10.0 : 1.0;
    paint_scale(painter, {box.left() + 8, box.top() + line, box.width() - 16, 1.5 * line},
                from_div_, to_div_, tens / 5.0, tens);
    paint_scale(painter, {box.left() + 8, box.top() + 3.0 * line, box.width() - 16, 1.5 * line},
                div_ - kNearDiv, div_ + kNearDiv, 0.1, 0.5);
}

}  // namespace skedlark::gui
