// How a RuledPage is painted.
#include <QPaintEvent>
#include <QPainter>
#include <algorithm>
#include <cmath>
#include <optional>

#include "gui/copy/ruled_page.h"

namespace skedlark::gui {

namespace {

constexpr double kSmallestType = 0.6;  // of the type asked for, where characters stand close
constexpr double kRoomForGaps = 1.15;  // half a character for every third or fourth one
constexpr double kStillChanging = 0.8;

QString shown(const Copied& one) {
    const QString text = QString::fromStdString(one.as_taken());
    return one.corrected && text.isEmpty() ? QStringLiteral("·") : text;
}

// Type small enough that the line's characters have room beside each other.
QFont fitting(QFont font, const std::vector<PlacedCharacter>& placed, int width) {
    if (placed.size() < 3) return font;
    const double apart = (placed.back().x_middle - placed.front().x_middle) * width /
                         static_cast<double>(placed.size() - 1);
    const double needs = kRoomForGaps * QFontMetricsF(font).averageCharWidth();
    if (apart < needs) {
        font.setPointSizeF(font.pointSizeF() * std::max(kSmallestType, apart / needs));
    }
    return font;
}

}  // namespace

void RuledPage::paintEvent(QPaintEvent* event) {
    QPainter painter(this);
    painter.fillRect(event->rect(), theme_.paper());
    const Measures m = measures();
    const std::int64_t bottom = bottom_.value_or(newest_line());
    for (std::int64_t line = std::max<std::int64_t>(bottom - m.lines + 1, 0); line <= bottom;
         ++line) {
        if (line_rect(line).intersects(event->rect())) paint_line(painter, line, event->rect());
    }
    if (bottom_) {
        const auto down = newest_line() - *bottom_;
        const QString word = down == 1 ? tr("Newest line is 1 further down: End")
                                       : tr("Newest line is %1 further down: End").arg(down);
        painter.setFont(theme_.body());
        const QRect box = painter.fontMetrics().boundingRect(word).adjusted(-6, -3, 6, 3);
        const QRect at(width() - box.width() - 4, height() - box.height() - 4, box.width(),
                       box.height());
        painter.fillRect(at, theme_.ink());
        painter.setPen(theme_.paper());
        painter.drawText(at, Qt::AlignCenter, word);
    }
    if (hasFocus()) {
        painter.setPen(QPen(theme_.ink(), 2));
        painter.setBrush(Qt::NoBrush);
        painter.drawRect(rect().adjusted(1, 1, -1, -1));
    }
}

void RuledPage::paint_line(QPainter& painter, std::int64_t line, const QRect& dirty) {
    const Measures m = measures();
    const QRect rect = line_rect(line);
    const QRect picture(m.margin, rect.top() + 1, m.width, m.picture - 2);
    LineImage& image = image_of(line);
    (void)image.draw(model_.rows(), inks_);
    const QRect seen = picture.intersected(dirty);
    const qreal ratio = devicePixelRatioF();
    const QRectF source((seen.left() - picture.left()) * ratio,
                        (seen.top() - picture.top()) * ratio, seen.width() * ratio,
                        seen.height() * ratio);
    if (!seen.isEmpty()) painter.drawImage(QRectF(seen), image.image(), source);

    // Whole seconds, every fifth longer, and the rule itself.
    const QRect rule(m.margin, rect.top() + m.picture, m.width, m.rule);
    painter.setPen(theme_.ink(Theme::kFaint));
    painter.drawLine(rule.topLeft(), rule.topRight());
    for (int second = 0; second <= static_cast<int>(kLineS); ++second) {
        const int x = rule.left() + static_cast<int>(second / kLineS * (rule.width() - 1));
        painter.drawLine(x, rule.top(), x, rule.top() - (second % 5 == 0 ? 6 : 3));
    }
    paint_moves(painter, line, picture);
    for (const Stretch& own : model_.text().own_sending(model_.heard_to())) {
        paint_stretch(painter, line, picture, own, tr("own sending"));
    }
    if (marked_) paint_stretch(painter, line, picture, *marked_, tr("marked"));
    if (!rule.intersects(dirty) && dirty.left() >= m.margin) return;
    painter.setFont(theme_.body());
    painter.setPen(theme_.ink());
    const QString clock = QString::fromStdString(clock_words(static_cast<double>(line) * kLineS));
    painter.drawText(QRect(0, rect.top() + m.picture, m.margin - 6, m.rule),
                     Qt::AlignRight | Qt::AlignVCenter, clock);
    const std::int64_t row = model_.rows().row_at(line_start(line));
    if (row < model_.rows().end_row() && line_of(model_.rows().info(row).frame) == line) {
        const QString pitch = tr("%1 Hz").arg(std::lround(model_.rows().info(row).middle_hz));
        painter.drawText(QRect(0, rect.top(), m.margin - 6, m.picture),
                         Qt::AlignRight | Qt::AlignVCenter, pitch);
        const int middle = picture.center().y();
        painter.drawLine(m.margin - 4, middle, m.margin, middle);
    }
    paint_characters(painter, line, rule);
}

// Where the picture was moved to another pitch: a jump there is none of the signal's.
void RuledPage::paint_moves(QPainter& painter, std::int64_t line, const QRect& picture) {
    const RowRing& rows = model_.rows();
    std::optional<float> before;
    for (std::int64_t row = rows.row_at(line_start(line)); row < rows.end_row(); ++row) {
        const RowInfo& info = rows.info(row);
        const PagePlace place = place_of(info.frame);
        if (place.line != line) break;
        if (before && std::abs(*before - info.middle_hz) >= 1.0F) {
            const int x = picture.left() + static_cast<int>(place.x * picture.width());
            painter.setFont(theme_.body());
            painter.setPen(QPen(theme_.ink(), 1, Qt::DashLine));
            painter.drawLine(x, picture.top(), x, picture.bottom());
            const QString word = tr("moved to %1 Hz").arg(std::lround(info.middle_hz));
            QRect label = painter.fontMetrics().boundingRect(word).adjusted(-3, 0, 3, 0);
            label.moveBottomLeft(
                QPoint(std::min(x, picture.right() - label.width()), picture.bottom()));
            painter.fillRect(label, theme_.paper());
            painter.setPen(theme_.ink());
            painter.drawText(label, Qt::AlignCenter, word);
        }
        before = info.middle_hz;
    }
}

void RuledPage::paint_stretch(QPainter& painter, std::int64_t line, const QRect& picture,
                              const Stretch& stretch, const QString& word) {
    if (line_of(stretch.to) < line || line_of(stretch.from) > line) return;
    const double from = line_of(stretch.from) < line ? 0.0 : place_of(stretch.from).x;
    const double to = line_of(stretch.to) > line ? 1.0 : place_of(stretch.to).x;
    const QRect box(picture.left() + static_cast<int>(from * picture.width()), picture.top(),
                    std::max(2, static_cast<int>((to - from) * picture.width())),
                    picture.height() - 1);
    painter.setPen(QPen(theme_.ink(), 2));
    painter.setBrush(Qt::NoBrush);
    painter.drawRect(box);
    painter.setFont(theme_.body());
    QRect label = painter.fontMetrics().boundingRect(word).adjusted(-3, 0, 3, 0);
    label.moveTopLeft(box.topLeft());
    if (label.width() > box.width()) return;
    painter.fillRect(label, theme_.ink());
    painter.setPen(theme_.paper());
    painter.drawText(label, Qt::AlignCenter, word);
}

void RuledPage::paint_characters(QPainter& painter, std::int64_t line, const QRect& rule) {
    const auto placed = on_line(characters_, line);
    QFont font = fitting(theme_.copy_text(), placed, rule.width());
    int free_from = rule.left();
    for (const PlacedCharacter& at : placed) {
        const Copied& one = characters_[at.index];
        const QString text = shown(one);
        font.setOverline(one.read.procedure);
        font.setItalic(!one.read.final);
        painter.setFont(font);
        // Brackets of a procedure signal are for plain text; here it has its overline.
        const QString bare =
            one.read.procedure && !one.corrected ? QString::fromStdString(one.read.text) : text;
        const int width = painter.fontMetrics().horizontalAdvance(bare);
        const int middle = rule.left() + static_cast<int>(at.x_middle * rule.width());
        // Large type pushes characters along; a gap between words stays to be seen.
        const bool after_gap = at.index > 0 && characters_[at.index - 1].is_gap();
        const int least = free_from + (after_gap ? width / 2 : 0);
        const int x = std::min(std::max(middle - width / 2, least), rule.right() - width);
        free_from = x + width;
        const QRect box(x, rule.top() + 2, width, rule.height() - 3);
        double strength = strength_of(one.corrected ? 1.0 : one.read.confidence, Theme::kFaint);
        if (!one.read.final) strength = std::max(Theme::kFaint, kStillChanging * strength);
        painter.setPen(theme_.ink(strength));
        painter.drawText(box, Qt::AlignCenter, bare);
        painter.setPen(theme_.ink());
        // Shapes beside the strength: dots under what is doubtful, a bar under what was corrected,
        // a stroke through own sending.
        if (one.doubtful()) {
            painter.setPen(QPen(theme_.ink(), 2, Qt::DotLine));
            painter.drawLine(box.left(), box.bottom(), box.right(), box.bottom());
        } else if (one.corrected) {
            painter.setPen(QPen(theme_.ink(), 3));
            painter.drawLine(box.left(), box.bottom(), box.right(), box.bottom());
        }
        if (one.own) painter.drawLine(box.left(), box.center().y(), box.right(), box.center().y());
        if (one.read.from_frame == cursor_ || one.read.from_frame == hovered_) {
            painter.setPen(QPen(theme_.ink(), 2));
            painter.drawRect(box.adjusted(-1, 0, 1, 0));
        }
    }
}

}  // namespace skedlark::gui
