#include "gui/plan/time_line.h"

#include <QPainter>
#include <QStringList>
#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

QString text_of(const std::string& text) { return QString::fromStdString(text); }

}  // namespace

TimeLineView::TimeLineView(QWidget* parent) : QWidget(parent) {
    setAccessibleName(tr("Time line of the next 24 hours"));
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
}

void TimeLineView::show_line(TimeLine line, std::optional<std::size_t> chosen) {
    line_ = std::move(line);
    chosen_ = chosen;
    QStringList said;
    for (const TimeBar& bar : line_.bars) {
        if (bar.kind != BarKind::warm_up) {
            said += tr("%1 in %2 h").arg(text_of(bar.label)).arg(bar.from * kLineHours, 0, 'f', 1);
        }
    }
    setAccessibleDescription(said.join("; "));
    update();
}

void TimeLineView::restyle(const Theme& theme) {
    theme_ = theme;
    setFont(theme.body());
    updateGeometry();
    update();
}

// Labels, bars, charging, then one or two rows of hours.
QSize TimeLineView::sizeHint() const {
    return {400, static_cast<int>(std::lround(4.6 * QFontMetricsF(font()).height()))};
}

double TimeLineView::x_of(double place) const { return 1.0 + place * (width() - 2.0); }

void TimeLineView::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.setFont(font());
    paint_ticks(painter);
    for (const TimeBar& bar : line_.bars) paint_bar(painter, bar);
    paint_labels(painter);
}

void TimeLineView::paint_ticks(QPainter& painter) const {
    const QFontMetricsF metrics(font());
    const double line_height = metrics.height();
    const double hours_top = 2.6 * line_height;
    painter.setPen(QPen(theme_.ink(Theme::kFaint), 1.0));
    painter.drawLine(QPointF(0, hours_top), QPointF(width(), hours_top));
    double free_from = 1.5 * metrics.horizontalAdvance(tr("UTC"));
    if (!line_.zone.empty()) {
        free_from = std::max(free_from, 1.5 * metrics.horizontalAdvance(text_of(line_.zone)));
    }
    for (const TimeTick& tick : line_.ticks) {
        const double x = x_of(tick.at);
        painter.setPen(QPen(theme_.ink(tick.midnight ? Theme::kFaint : Theme::kRule), 1.0));
        painter.drawLine(QPointF(x, line_height), QPointF(x, hours_top + 0.2 * line_height));
        const QString utc = text_of(tick.utc);
        const double wide = metrics.horizontalAdvance(utc);
        const double left = std::clamp(x - wide / 2, 0.0, width() - wide);
        if (left < free_from) continue;
        free_from = left + wide + metrics.averageCharWidth();
        painter.setPen(theme_.ink());
        painter.drawText(QPointF(left, hours_top + metrics.ascent()), utc);
        painter.setPen(theme_.ink(0.7));
        painter.drawText(QPointF(left, hours_top + line_height + metrics.ascent()),
                         text_of(tick.local));
    }
    const auto zone_at = [&](const QString& zone, double top) {
        const QRectF box(0, top, width(), line_height);
        painter.fillRect(QRectF(0, top, metrics.horizontalAdvance(zone) + 4, line_height),
                         theme_.paper());
        painter.drawText(box, Qt::AlignLeft | Qt::AlignVCenter, zone);
    };
    painter.setPen(theme_.ink());
    zone_at(tr("UTC"), hours_top);
    if (!line_.zone.empty()) zone_at(text_of(line_.zone), hours_top + line_height);
}

void TimeLineView::paint_bar(QPainter& painter, const TimeBar& bar) const {
    const double line_height = QFontMetricsF(font()).height();
    const double left = x_of(bar.from);
    QRectF box(left, 1.1 * line_height, std::max(3.0, x_of(bar.to) - left), 0.95 * line_height);
    const QColor ink = theme_.ink();
    painter.setPen(QPen(ink, 1.5));
    switch (bar.kind) {
        case BarKind::contact:
            painter.setBrush(ink);
            break;
        case BarKind::fallback:
            painter.setBrush(theme_.paper());
            break;
        case BarKind::warm_up:
            painter.setPen(Qt::NoPen);
            painter.setBrush(QBrush(ink, Qt::BDiagPattern));
            break;
        case BarKind::charging:
            box.setTop(2.2 * line_height);
            box.setHeight(0.3 * line_height);
            painter.setPen(Qt::NoPen);
            painter.setBrush(theme_.ink(Theme::kFaint));
            break;
    }
    painter.drawRect(box);
    if (bar.kind == BarKind::contact && bar.card && bar.card == chosen_) {
        // A triangle under the contact the card is of.
        const double x = box.center().x();
        const double y = 2.1 * line_height;
        painter.setBrush(ink);
        painter.drawPolygon(QPolygonF({{x, y},
                                       {x - 0.3 * line_height, y + 0.45 * line_height},
                                       {x + 0.3 * line_height, y + 0.45 * line_height}}));
    }
}

// Contacts first; charging is named beside its bar where nothing else stands.
void TimeLineView::paint_labels(QPainter& painter) const {
    const QFontMetricsF metrics(font());
    painter.setPen(theme_.ink());
    double free_from = 0.0;
    for (const BarKind kind : {BarKind::contact, BarKind::charging}) {
        const double top = kind == BarKind::contact ? 0.0 : 1.1 * metrics.height();
        for (const TimeBar& bar : line_.bars) {
            if (bar.kind != kind) continue;
            const QString label = text_of(bar.label);
            const double wide = metrics.horizontalAdvance(label);
            const double x = std::min(x_of(bar.from), width() - wide);
            if (x < free_from) continue;
            if (kind == BarKind::charging && x_of(bar.to) - x < wide) continue;
            painter.drawText(QPointF(x, top + metrics.ascent()), label);
            free_from = x + wide + 2.0 * metrics.averageCharWidth();
        }
        free_from = 0.0;
    }
    if (line_.bars.empty()) {
        painter.drawText(rect(), Qt::AlignHCenter | Qt::AlignTop,
                         tr("nothing in the next 24 hours"));
    }
}

}  // namespace skedlark::gui
