#include "gui/fist/strip_view.h"

#include <QPainter>
#include <cmath>

#include "gui/fist/fist_rows.h"

namespace skedlark::gui {

namespace {
constexpr int kBarTop = 12;
constexpr int kBarHeight = 18;
constexpr int kEdge = 6;
}  // namespace

StripView::StripView(QWidget* parent) : QWidget(parent) {
    setAccessibleName(tr("Keying about the fault"));
    setFocusPolicy(Qt::NoFocus);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
}

void StripView::restyle(const Theme& theme) {
    theme_ = theme;
    setFont(theme.body());
    updateGeometry();
    update();
}

void StripView::show_strip(const KeyingStrip& strip) {
    strip_ = strip;
    QString read;
    for (const StripCharacter& one : strip.characters)
        read += QString::fromStdString(one.text) + " ";
    setAccessibleDescription(read.trimmed());
    update();
}

QSize StripView::sizeHint() const {
    return {600, kBarTop + kBarHeight + 2 * QFontMetrics(font()).height() + 8};
}

QSize StripView::minimumSizeHint() const { return {200, sizeHint().height()}; }

double StripView::x_of(double at_s) const {
    const double wide_s = std::max(0.1, strip_.to_s - strip_.from_s);
    return kEdge + (at_s - strip_.from_s) / wide_s * (width() - 2 * kEdge);
}

void StripView::paintEvent(QPaintEvent* /*event*/) {
    QPainter painter(this);
    painter.fillRect(rect(), theme_.paper());
    painter.setFont(font());
    if (strip_.marks.empty()) {
        painter.setPen(theme_.ink(Theme::kFaint));
        painter.drawText(rect(), Qt::AlignCenter,
                         tr("The keying is shown here once it is graded."));
        return;
    }
    painter.setRenderHint(QPainter::Antialiasing);
    paint_times(painter);
    paint_marks(painter);
    if (strip_.has_place) paint_place(painter);
}

void StripView::paint_times(QPainter& painter) const {
    const int line = QFontMetrics(font()).height();
    const double base = kBarTop + kBarHeight + 1.0;
    painter.setPen(QPen(theme_.ink(Theme::kRule), 1.0));
    painter.drawLine(QPointF(kEdge, base), QPointF(width() - kEdge, base));
    for (int second = static_cast<int>(std::ceil(std::max(0.0, strip_.from_s)));
         second <= static_cast<int>(strip_.to_s); ++second) {
        const double x = x_of(second);
        painter.setPen(QPen(theme_.ink(Theme::kRule), 1.0));
        painter.drawLine(QPointF(x, base), QPointF(x, base + line + 5));
        painter.setPen(theme_.ink(Theme::kFaint));
        painter.drawText(QRectF(x - 40, base + line + 4, 80, line), Qt::AlignCenter,
                         QString::fromStdString(minutes_of(second)));
    }
}

void StripView::paint_marks(QPainter& painter) const {
    const int line = QFontMetrics(font()).height();
    for (const StripMark& mark : strip_.marks) {
        const double from = x_of(mark.from_s);
        const QRectF bar(from, kBarTop, std::max(2.0, x_of(mark.to_s) - from), kBarHeight);
        if (mark.faulty) {
            painter.setPen(QPen(theme_.ink(), 2.0));
            painter.setBrush(QBrush(theme_.ink(), Qt::BDiagPattern));
        } else {
            painter.setPen(Qt::NoPen);
            painter.setBrush(theme_.ink());
        }
        painter.drawRect(bar);
    }
    painter.setPen(theme_.ink());
    for (const StripCharacter& one : strip_.characters) {
        const double middle = 0.5 * (x_of(one.from_s) + x_of(one.to_s));
        painter.drawText(QRectF(middle - 40, kBarTop + kBarHeight + 3, 80, line), Qt::AlignCenter,
                         QString::fromStdString(one.text));
    }
}

void StripView::paint_place(QPainter& painter) const {
    const double from = x_of(strip_.place.from_s) - 3.0;
    const double to = x_of(strip_.place.to_s) + 3.0;
    const double top = kBarTop - 5.0;
    const double bottom = kBarTop + kBarHeight + 4.0;
    painter.setPen(QPen(theme_.ink(), 2.5));
    for (const double x : {from, to}) {
        const double inwards = x == from ? 5.0 : -5.0;
        painter.drawPolyline(
            QPolygonF({{x + inwards, top}, {x, top}, {x, bottom}, {x + inwards, bottom}}));
    }
    // A pointer from above, to be found at arm's length.
    const double middle = 0.5 * (from + to);
    painter.setBrush(theme_.ink());
    painter.setPen(Qt::NoPen);
    painter.drawPolygon(QPolygonF({{middle - 5.0, 0.0}, {middle + 5.0, 0.0}, {middle, 7.0}}));
}

}  // namespace skedlark::gui
