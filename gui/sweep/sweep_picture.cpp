#include "gui/sweep/sweep_picture.h"

#include <QPainter>
#include <QPainterPath>
#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

constexpr int kInks = 256;
constexpr double kGap = 4.0;  // pixels between what is written and what is drawn

QString division_text(double div, double step) {
    const int places = step >= 0.999 ? 0 : step >= 0.0999 ? 1 : 2;
    return QString::number(div, 'f', places);
}

}  // namespace

void paint_kind(QPainter& painter, StationKind kind, const QPointF& at, double size) {
    const QRectF box(at.x() - 0.5 * size, at.y() - 0.5 * size, size, size);
    switch (kind) {
        case StationKind::keyed:
            painter.drawEllipse(box);
            return;
        case StationKind::steady:
            painter.drawRect(box.adjusted(0, 0.3 * size, 0, -0.3 * size));
            return;
        case StationKind::broadcast:
            painter.drawRect(box);
            return;
        case StationKind::unknown:
            break;
    }
    const QBrush full = painter.brush();
    painter.setBrush(Qt::NoBrush);
    painter.drawEllipse(box);
    painter.setBrush(full);
}

SweepPicture::SweepPicture(QWidget* parent)
    : QWidget(parent), image_(DialPicture::kColumns, DialPicture::kPoints, QImage::Format_RGB32) {
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
    setAccessibleName(tr("Picture along the dial"));
}

void SweepPicture::restyle(const Theme& theme) {
    theme_ = theme;
    setFont(theme.body());
    inks_.clear();
    for (int i = 0; i < kInks; ++i) inks_.push_back(theme.ink(i / (kInks - 1.0)).rgb());
    redraw_ = true;
    updateGeometry();
    update();
}

QRectF SweepPicture::plot() const {
    const QFontMetricsF metrics(font());
    const double left = metrics.horizontalAdvance("3000 Hz") + 2.0 * kGap;
    const double top = metrics.height() + 2.0 * kGap;     // numbers of the stations
    const double bottom = metrics.height() + 2.0 * kGap;  // divisions
    return {left, top, std::max(width() - left - 16.0, 10.0),
            std::max(height() - top - bottom, 10.0)};
}

int SweepPicture::most_ticks() const {
    const double widest = QFontMetricsF(font()).horizontalAdvance("100.00") + 12.0;
    return std::max(2, static_cast<int>(plot().width() / widest));
}

// No more than it needs: it grows with the room there is.
QSize SweepPicture::sizeHint() const { return minimumSizeHint(); }

QSize SweepPicture::minimumSizeHint() const { return {300, 8 * QFontMetrics(font()).height()}; }

void SweepPicture::draw_column(SweepModel& model, int index) {
    const auto levels = model.picture().column(index);
    for (int point = 0; point < DialPicture::kPoints; ++point) {
        double share = 0.0;
        if (static_cast<std::size_t>(point) < levels.size()) {
            const double db = static_cast<double>(levels[static_cast<std::size_t>(point)]);
            share = std::clamp((db - kNoInkDb) / (kFullInkDb - kNoInkDb), 0.0, 1.0);
        }
        auto* line = reinterpret_cast<QRgb*>(image_.scanLine(DialPicture::kPoints - 1 - point));
        line[index] = inks_[static_cast<std::size_t>(std::lround(share * (kInks - 1)))];
    }
}

void SweepPicture::show_model(SweepModel& model) {
    DialPicture& picture = model.picture();
    bool changed = redraw_ || picture.emptied();
    const std::vector<int> columns = picture.take_changed();
    if (changed) {
        for (int i = 0; i < DialPicture::kColumns; ++i) draw_column(model, i);
    } else {
        for (const int i : columns) draw_column(model, i);
    }
    changed = changed || !columns.empty();
    redraw_ = false;
    const SweepAxis axis = model.axis();
    const DialNow dial = model.dial_now();
    const double pixel_div = axis.span_div() / std::max(width(), 1);
    changed = changed || !(axis == axis_) || dial.turning != dial_.turning ||
              std::abs(dial.div - dial_.div) > 0.5 * pixel_div ||
              model.rows().size() != stations_.size() || model.chosen() != chosen_;
    if (!changed) return;
    axis_ = axis;
    dial_ = dial;
    stations_ = model.rows();
    chosen_ = model.chosen();
    if (model.receiver()) {
        high_hz_ = std::clamp(model.receiver()->audio.high_hz, 400.0, 3900.0);
        low_hz_ = std::clamp(model.receiver()->audio.low_hz, 0.0, 0.5 * high_hz_);
    }
    update();
}

void SweepPicture::paintEvent(QPaintEvent*) {
    QPainter painter(this);
    const QRectF area = plot();
    SweepAxis axis = axis_;
    axis.set_pixels(area.left(), area.width());
    painter.setRenderHint(QPainter::SmoothPixmapTransform);
    painter.drawImage(area, image_);
    painter.setRenderHint(QPainter::Antialiasing);
    paint_axes(painter, area, axis);
    paint_stations(painter, area, axis);
    paint_dial(painter, area, axis);
}

void SweepPicture::paint_axes(QPainter& painter, const QRectF& plot, const SweepAxis& axis) const {
    const QFontMetricsF metrics(font());
    painter.setPen(theme_.ink(Theme::kFaint));
    painter.setBrush(Qt::NoBrush);
    painter.drawRect(plot);
    const int most = most_ticks();
    const double step = axis.tick_step(most);
    painter.setPen(theme_.ink());
    for (const double div : axis.ticks(most)) {
        const double x = axis.x_of(div);
        painter.drawLine(QPointF(x, plot.bottom()), QPointF(x, plot.bottom() + kGap));
        painter.drawText(QRectF(x - 50, plot.bottom() + kGap, 100, metrics.height()),
                         Qt::AlignCenter, division_text(div, step));
    }
    for (const double hz : {1000.0, 2000.0, 3000.0}) {
        if (hz < low_hz_ || hz > high_hz_) continue;
        const double y = plot.bottom() - plot.height() * (hz - low_hz_) / (high_hz_ - low_hz_);
        painter.drawLine(QPointF(plot.left() - kGap, y), QPointF(plot.left(), y));
        painter.drawText(
            QRectF(0, y - 0.5 * metrics.height(), plot.left() - 2.0 * kGap, metrics.height()),
            Qt::AlignRight | Qt::AlignVCenter, tr("%1 Hz").arg(hz, 0, 'f', 0));
    }
}

void SweepPicture::paint_stations(QPainter& painter, const QRectF& plot,
                                  const SweepAxis& axis) const {
    const QFontMetricsF metrics(font());
    const double size = 0.55 * metrics.height();
    for (std::size_t i = 0; i < stations_.size(); ++i) {
        const StationRow& row = stations_[i];
        const double x = axis.x_of(row.div);
        if (x < plot.left() || x > plot.right()) continue;
        const bool chosen = chosen_ == i;
        painter.setPen(QPen(theme_.ink(), chosen ? 2.0 : 1.0, Qt::DotLine));
        painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()));
        painter.setPen(QPen(theme_.ink(), 1.5));
        painter.setBrush(theme_.ink());
        const double y = plot.top() - kGap - 0.5 * metrics.height();
        const QString number = QString::number(row.number);
        paint_kind(painter, row.kind, {x - 0.8 * size, y}, size);
        painter.drawText(QRectF(x, y - 0.5 * metrics.height(), 60, metrics.height()),
                         Qt::AlignLeft | Qt::AlignVCenter, row.go_back ? number + "!" : number);
        if (!chosen) continue;
        // How sure the place is.
        painter.setPen(QPen(theme_.ink(), 2.0));
        painter.drawLine(QPointF(axis.x_of(row.low95_div), plot.top() - 1),
                         QPointF(axis.x_of(row.high95_div), plot.top() - 1));
    }
}

void SweepPicture::paint_dial(QPainter& painter, const QRectF& plot, const SweepAxis& axis) const {
    const double x = axis.x_of(dial_.div);
    if (x < plot.left() - 1 || x > plot.right() + 1) return;
    painter.setPen(QPen(theme_.ink(), dial_.turning ? 2.0 : 1.0));
    if (dial_.turning) painter.drawLine(QPointF(x, plot.top()), QPointF(x, plot.bottom()));
    QPainterPath pointer(QPointF(x, plot.bottom() - 9.0));
    pointer.lineTo(x - 6.0, plot.bottom());
    pointer.lineTo(x + 6.0, plot.bottom());
    pointer.closeSubpath();
    painter.fillPath(pointer, theme_.ink());
}

}  // namespace skedlark::gui
