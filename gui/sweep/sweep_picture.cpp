#include "gui/sweep/sweep_picture.h"

#include <QFontMetrics>
#include <QPaintEvent>
#include <QPainter>
#include <algorithm>

namespace skedlark::gui {

SweepPicture::SweepPicture(QWidget* parent)
    : QWidget(parent), kept_(static_cast<std::size_t>(SweptColumns::kColumns)) {
    setAccessibleName(tr("Picture of the sweep, by division and pitch"));
    setAttribute(Qt::WA_OpaquePaintEvent);
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Expanding);
    clear(DivAxis());
}

void SweepPicture::restyle(const Theme& theme) {
    theme_ = theme;
    setFont(theme.body());
    const QFontMetrics metrics(font());
    left_px_ = metrics.horizontalAdvance(tr("3000 Hz")) + metrics.averageCharWidth();
    mark_px_ = metrics.height() + metrics.height() / 2;
    image_.fill(theme_.paper());
    for (const SweptColumn& column : kept_) ink_column(column);
    updateGeometry();
    update();
}

void SweepPicture::clear(const DivAxis& axis) {
    axis_ = axis;
    image_ = QImage(SweptColumns::kColumns, SweptColumns::kPoints, QImage::Format_RGB32);
    image_.fill(theme_.paper());
    for (SweptColumn& column : kept_) column = {};
    stations_.clear();
    dial_.reset();
    update();
}

void SweepPicture::ink_column(const SweptColumn& column) {
    for (std::size_t n = 0; n < column.over_noise_db.size(); ++n) {
        const int y = SweptColumns::kPoints - 1 - static_cast<int>(n);
        image_.setPixel(
            column.column, y,
            theme_.ink(ink_of_level(static_cast<double>(column.over_noise_db[n]))).rgb());
    }
}

void SweepPicture::add(const std::vector<SweptColumn>& columns) {
    if (columns.empty()) return;
    const QRect picture = picture_rect();
    for (const SweptColumn& column : columns) {
        kept_[static_cast<std::size_t>(column.column)] = column;
        ink_column(column);
    }
    const auto [first, unused_end] =
        DivAxis::pixels_of(columns.front().column, SweptColumns::kColumns, picture.width());
    const auto [unused_first, end] =
        DivAxis::pixels_of(columns.back().column, SweptColumns::kColumns, picture.width());
    update(picture.left() + first - 1, picture.top(), end - first + 2, picture.height());
}

void SweepPicture::set_stations(const std::vector<StationRow>& rows, int chosen) {
    if (rows.size() == stations_.size() && chosen == chosen_ &&
        std::equal(rows.begin(), rows.end(), stations_.begin(),
                   [](const StationRow& a, const StationRow& b) {
                       return a.at_div == b.at_div && a.best == b.best;
                   }))
        return;
    stations_ = rows;
    chosen_ = chosen;
    update();
}

void SweepPicture::set_dial(std::optional<double> div) {
    if (div == dial_) return;
    const QRect picture = picture_rect();
    for (const auto& at : {dial_, div}) {
        if (at) update(x_of(*at) - 2, picture.top(), 5, picture.height());
    }
    dial_ = div;
}

QRect SweepPicture::picture_rect() const { return rect().adjusted(left_px_, mark_px_, -1, -1); }

QSize SweepPicture::minimumSizeHint() const {
    return {left_px_ + 200, mark_px_ + 5 * QFontMetrics(font()).height()};
}

int SweepPicture::x_of(double div) const {
    const QRect picture = picture_rect();
    return picture.left() + static_cast<int>(axis_.x_of(div, picture.width()));
}

void SweepPicture::paintEvent(QPaintEvent* event) {
    QPainter painter(this);
    painter.fillRect(event->rect(), theme_.paper());
    const QRect picture = picture_rect();
    painter.setRenderHint(QPainter::SmoothPixmapTransform, false);
    const QRect dirty = event->rect().intersected(picture);
    if (!dirty.isEmpty()) {
        const double each = static_cast<double>(SweptColumns::kColumns) / picture.width();
        const double tall = static_cast<double>(SweptColumns::kPoints) / picture.height();
        const QRectF from((dirty.left() - picture.left()) * each,
                          (dirty.top() - picture.top()) * tall, dirty.width() * each,
                          dirty.height() * tall);
        painter.drawImage(QRectF(dirty), image_, from);
    }
    paint_pitches(painter, picture);
    if (dial_) {
        painter.setPen(QPen(theme_.ink(), 1, Qt::DashLine));
        painter.drawLine(x_of(*dial_), picture.top(), x_of(*dial_), picture.bottom());
    }
    painter.setPen(theme_.ink(Theme::kFaint));
    painter.drawRect(picture.adjusted(-1, -1, 0, 0));
    if (event->rect().top() < picture.top() || !stations_.empty()) paint_stations(painter, picture);
}

void SweepPicture::paint_pitches(QPainter& painter, const QRect& picture) const {
    const QFontMetrics metrics(font());
    for (const int pitch_hz : {500, 1000, 2000, 3000}) {
        const int y =
            picture.top() +
            static_cast<int>(y_of_pitch(pitch_hz, kPictureLowHz, kPictureHighHz, picture.height()));
        painter.setPen(theme_.ink(Theme::kFaint));
        painter.drawLine(picture.left() - 5, y, picture.left() - 1, y);
        painter.setPen(theme_.ink());
        const int top = std::min(y - metrics.height() / 2, height() - metrics.height());
        painter.drawText(QRect(0, top, left_px_ - 7, metrics.height()),
                         Qt::AlignRight | Qt::AlignVCenter,
                         pitch_hz == 3000 ? tr("3000 Hz") : QString::number(pitch_hz));
    }
}

// A number in a box above, a line to the foot: whole for what is keyed, dotted for what is steady or
// broadcast, dashed where it is not known. The one to go back to has its box filled.
void SweepPicture::paint_stations(QPainter& painter, const QRect& picture) const {
    const QFontMetrics metrics(font());
    for (std::size_t n = 0; n < stations_.size(); ++n) {
        const StationRow& row = stations_[n];
        const int x = x_of(row.at_div);
        const bool chosen = static_cast<int>(n) == chosen_;
        const Qt::PenStyle line = row.kind == "keyed"     ? Qt::SolidLine
                                  : row.kind == "unknown" ? Qt::DashLine
                                                          : Qt::DotLine;
        painter.setPen(QPen(theme_.ink(), chosen ? 2 : 1, line));
        painter.drawLine(x, picture.bottom() - picture.height() / 6, x, picture.bottom());
        painter.drawLine(x, mark_px_ - metrics.height() / 4, x, picture.top());
        const QString number = QString::fromStdString(row.number);
        const int wide = metrics.horizontalAdvance(number) + metrics.averageCharWidth();
        const QRect box(x - wide / 2, 0, wide, metrics.height());
        painter.setPen(QPen(theme_.ink(), chosen ? 2 : 1, line));
        painter.setBrush(row.best ? theme_.ink() : theme_.paper());
        painter.drawRect(box);
        painter.setPen(row.best ? theme_.paper() : theme_.ink());
        painter.drawText(box, Qt::AlignCenter, number);
    }
}

}  // namespace skedlark::gui
