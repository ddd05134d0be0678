#include "gui/practice/key_pad.h"

#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>
#include <chrono>

namespace skedlark::gui {

double steady_now_s() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

KeyPad::KeyPad(QWidget* parent) : QWidget(parent) {
    setFocusPolicy(Qt::StrongFocus);
    setAccessibleName(tr("Key: the space bar"));
}

void KeyPad::restyle(const Theme& theme) {
    theme_ = theme;
    setFont(theme.body());
    updateGeometry();
    update();
}

void KeyPad::set_words(const QString& words) {
    if (words == words_) return;
    words_ = words;
    setAccessibleDescription(words);
    update();
}

QSize KeyPad::sizeHint() const {
    const QFontMetrics metrics(font());
    return {metrics.horizontalAdvance("M") * 16, metrics.height() * 2 + 8};
}

void KeyPad::go(bool down, quint64 stamp_ms) {
    if (down == down_) return;
    down_ = down;
    // Events made by a test, or by other means than a keyboard, have no stamp.
    const std::optional<std::uint64_t> stamp =
        stamp_ms > 0 ? std::optional<std::uint64_t>(stamp_ms) : std::nullopt;
    emit keyed(down, clock_.at_s(now_s(), stamp));
    update();
}

void KeyPad::keyPressEvent(QKeyEvent* event) {
    if (event->key() != Qt::Key_Space || event->modifiers() != Qt::NoModifier) {
        QWidget::keyPressEvent(event);
        return;
    }
    if (!event->isAutoRepeat()) go(true, event->timestamp());
}

void KeyPad::keyReleaseEvent(QKeyEvent* event) {
    if (event->key() != Qt::Key_Space) {
        QWidget::keyReleaseEvent(event);
        return;
    }
    if (!event->isAutoRepeat()) go(false, event->timestamp());
}

void KeyPad::mousePressEvent(QMouseEvent* event) {
    if (event->button() == Qt::LeftButton) go(true, event->timestamp());
}

void KeyPad::mouseReleaseEvent(QMouseEvent* event) {
    if (event->button() == Qt::LeftButton) go(false, event->timestamp());
}

void KeyPad::focusInEvent(QFocusEvent* event) {
    QWidget::focusInEvent(event);
    update();
}

void KeyPad::focusOutEvent(QFocusEvent* event) {
    go(false, 0);
    QWidget::focusOutEvent(event);
    update();
}

void KeyPad::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const QRectF box = QRectF(rect()).adjusted(1.5, 1.5, -1.5, -1.5);
    painter.setPen(QPen(theme_.ink(hasFocus() ? 1.0 : Theme::kFaint), hasFocus() ? 3.0 : 1.0));
    painter.setBrush(down_ ? theme_.ink() : theme_.ink(Theme::kWash));
    painter.drawRect(box);
    painter.setPen(down_ ? theme_.paper() : theme_.ink());
    const QString words = down_        ? tr("down")
                          : hasFocus() ? words_
                                       : tr("Tab to here, or click: then the space bar is the key");
    painter.drawText(box.adjusted(6, 2, -6, -2), Qt::AlignCenter | Qt::TextWordWrap, words);
}

}  // namespace skedlark::gui
