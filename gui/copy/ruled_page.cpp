#include "gui/copy/ruled_page.h"

#include <QAccessible>
#include <QKeyEvent>
#include <QPaintEvent>
#include <QPainter>
#include <algorithm>
#include <cmath>

namespace skedlark::gui {

RuledPage::RuledPage(const CopyModel& model, QWidget* parent) : QWidget(parent), model_(model) {
    setFocusPolicy(Qt::StrongFocus);
    setMouseTracking(true);
    setAccessibleName(tr("Ruled page of what is copied"));
    setToolTip({});
}

void RuledPage::set_theme(const Theme& theme) {
    theme_ = theme;
    inks_ = ink_table(theme);
    images_.clear();
    update();
}

QSize RuledPage::minimumSizeHint() const {
    const QFontMetrics metrics(theme_.copy_text());
    return {metrics.averageCharWidth() * 30, metrics.height() * 4};
}

RuledPage::Measures RuledPage::measures() const {
    const QFontMetrics text(theme_.copy_text());
    Measures m;
    m.margin = QFontMetrics(theme_.body()).horizontalAdvance("00:00:00") + 6;
    m.rule = text.height() + 6;
    m.width = std::max(1, width() - m.margin - 2);
    // As many lines as leave each picture three rows of type high, at least one.
    m.lines = std::max(1, height() / (m.rule + 3 * text.height()));
    m.picture = std::max(8, height() / m.lines - m.rule);
    return m;
}

std::int64_t RuledPage::newest_line() const { return line_of(model_.heard_to()); }

std::int64_t RuledPage::oldest_line() const {
    const auto& rows = model_.rows();
    const std::int64_t picture = rows.end_row() > rows.begin_row()
                                     ? line_of(rows.info(rows.begin_row()).frame)
                                     : newest_line();
    return characters_.empty() ? picture
                               : std::min(picture, line_of(characters_.front().read.from_frame));
}

QRect RuledPage::line_rect(std::int64_t line) const {
    const Measures m = measures();
    const std::int64_t bottom = bottom_.value_or(newest_line());
    const std::int64_t up = bottom - line;
    if (up < 0 || up >= m.lines) return {};
    // The first lines of an input stand at the top, as on a fresh sheet.
    const std::int64_t first = std::max<std::int64_t>(bottom - m.lines + 1, 0);
    return {0, static_cast<int>(line - first) * m.line(), width(), m.line()};
}

std::optional<PagePlace> RuledPage::place_at(const QPointF& point) const {
    const Measures m = measures();
    const std::int64_t bottom = bottom_.value_or(newest_line());
    const std::int64_t first = std::max<std::int64_t>(bottom - m.lines + 1, 0);
    const std::int64_t line = first + static_cast<std::int64_t>(point.y()) / m.line();
    if (line > bottom || point.y() < 0.0) return std::nullopt;
    return PagePlace{line, std::clamp((point.x() - m.margin) / m.width, 0.0, 1.0)};
}

LineImage& RuledPage::image_of(std::int64_t line) {
    const Measures m = measures();
    const auto found = images_.find(line);
    if (found != images_.end()) return found->second;
    const QSize size = QSize(m.width, m.picture - 2) * devicePixelRatioF();
    return images_.emplace(line, LineImage(line, size, inks_)).first->second;
}

void RuledPage::refresh() {
    const bool fresh_input = shown_input_ != model_.input();
    if (fresh_input || shown_tone_ != model_.tone()) {
        if (fresh_input) {
            images_.clear();
            bottom_.reset();
            mark(std::nullopt);
        }
        shown_input_ = model_.input();
        shown_tone_ = model_.tone();
        revision_ = ~std::uint64_t{0};
        cursor_.reset();
        hovered_.reset();
        update();
    }
    if (revision_ != model_.text().revision()) {
        revision_ = model_.text().revision();
        characters_ = model_.text().of_tone(model_.tone());
        // New characters stand on the last two lines; a correction has the page drawn anew.
        for (const std::int64_t back : {0, 1}) update(line_rect(newest_line() - back));
    }
    const std::int64_t newest = newest_line();
    if (newest != last_newest_) {
        last_newest_ = newest;
        update();
        const Measures m = measures();
        std::erase_if(images_, [&](const auto& one) { return one.first < newest - 3 * m.lines; });
    }
    // Rows come late by half a window, so the line before may still get some.
    const qreal ratio = devicePixelRatioF();
    for (const std::int64_t line : {newest - 1, newest}) {
        const QRect rect = line_rect(line);
        if (rect.isEmpty()) continue;
        const auto [from, to] = image_of(line).draw(model_.rows(), inks_);
        if (from == to) continue;
        const Measures m = measures();
        const int x = m.margin + static_cast<int>(std::floor(from / ratio));
        const int width = static_cast<int>(std::ceil((to - from) / ratio)) + 2;
        update(QRect(x - 1, rect.top(), width + 2, m.picture));
    }
}

std::optional<Copied> RuledPage::pointed() const {
    const auto wanted = hovered_ ? hovered_ : cursor_;
    if (!wanted) return std::nullopt;
    for (const Copied& one : characters_) {
        if (one.read.from_frame == *wanted && !one.is_gap()) return one;
    }
    return std::nullopt;
}

void RuledPage::scroll_to(std::int64_t bottom_line) {
    const Measures m = measures();
    const std::int64_t least = std::min(newest_line(), oldest_line() + m.lines - 1);
    const std::int64_t to = std::clamp(bottom_line, least, newest_line());
    if (to == newest_line()) {
        bottom_.reset();
    } else {
        bottom_ = to;
    }
    update();
}

void RuledPage::mark(std::optional<Stretch> stretch) {
    marked_ = stretch;
    update();
    emit marked_changed();
}

void RuledPage::tell_readings() {
    const auto one = pointed();
    setAccessibleDescription(one ? QString::fromStdString(readings_of(*one)) : QString());
    QAccessibleEvent event(this, QAccessible::DescriptionChanged);
    QAccessible::updateAccessibility(&event);
    emit pointed_changed();
}

void RuledPage::point_at(std::optional<std::size_t> index) {
    cursor_ = index ? std::optional(characters_[*index].read.from_frame) : std::nullopt;
    hovered_.reset();
    if (cursor_) {
        const Measures m = measures();
        const std::int64_t line = line_of(*cursor_), bottom = bottom_.value_or(newest_line());
        if (line > bottom) scroll_to(line);
        if (line <= bottom - m.lines) scroll_to(line + m.lines - 1);
    }
    update();
    tell_readings();
}

void RuledPage::step(int by, bool marking) {
    std::optional<std::size_t> at;
    for (std::size_t i = 0; cursor_ && i < characters_.size(); ++i) {
        if (characters_[i].read.from_frame == *cursor_ && !characters_[i].is_gap()) at = i;
    }
    // The first press goes to the newest character, whichever way.
    const auto next = at ? step_from(characters_, at, by) : step_from(characters_, {}, -1);
    if (!next) return;
    if (marking) {
        const CharEvent& from = characters_[at.value_or(*next)].read;
        const CharEvent& to = characters_[*next].read;
        if (!anchor_) anchor_ = Stretch{from.from_frame, from.to_frame};
        mark(Stretch{std::min(anchor_->from, to.from_frame), std::max(anchor_->to, to.to_frame)});
    } else {
        anchor_.reset();
    }
    point_at(next);
}

void RuledPage::keyPressEvent(QKeyEvent* event) {
    const bool shift = event->modifiers().testFlag(Qt::ShiftModifier);
    const std::int64_t bottom = bottom_.value_or(newest_line());
    const int page = std::max(1, measures().lines - 1);
    switch (event->key()) {
        case Qt::Key_Left:
            return step(-1, shift);
        case Qt::Key_Right:
            return step(1, shift);
        case Qt::Key_Up:
            return scroll_to(bottom - 1);
        case Qt::Key_Down:
            return scroll_to(bottom + 1);
        case Qt::Key_PageUp:
            return scroll_to(bottom - page);
        case Qt::Key_PageDown:
            return scroll_to(bottom + page);
        case Qt::Key_Home:
            return scroll_to(oldest_line());
        case Qt::Key_End:
            return scroll_to(newest_line());
        case Qt::Key_Return:
        case Qt::Key_Enter:
            emit correction_wanted();
            return;
        case Qt::Key_Escape:
            anchor_.reset();
            mark(std::nullopt);
            return point_at(std::nullopt);
        default:
            QWidget::keyPressEvent(event);
    }
}

void RuledPage::wheelEvent(QWheelEvent* event) {
    const int steps = event->angleDelta().y() / 120;
    if (steps != 0) scroll_to(bottom_.value_or(newest_line()) - steps);
    event->accept();
}

void RuledPage::mousePressEvent(QMouseEvent* event) {
    const auto place = place_at(event->position());
    if (!place) return;
    const FrameIndex frame = frame_at(*place);
    anchor_ = Stretch{frame, frame};
    mark(std::nullopt);
    point_at(character_at(characters_, *place));
}

void RuledPage::mouseMoveEvent(QMouseEvent* event) {
    const auto place = place_at(event->position());
    if (!place) return;
    if (event->buttons().testFlag(Qt::LeftButton) && anchor_) {
        const FrameIndex frame = frame_at(*place);
        return mark(Stretch{std::min(anchor_->from, frame), std::max(anchor_->from, frame)});
    }
    const auto index = character_at(characters_, *place);
    const auto now = index ? std::optional(characters_[*index].read.from_frame) : std::nullopt;
    if (now == hovered_) return;
    hovered_ = now;
    update();
    tell_readings();
}

void RuledPage::mouseReleaseEvent(QMouseEvent*) {
    anchor_.reset();
    // A click is no stretch.
    if (marked_ && seconds_from_frames(marked_->to - marked_->from) < 0.1) mark(std::nullopt);
}

void RuledPage::leaveEvent(QEvent*) {
    if (!hovered_) return;
    hovered_.reset();
    update();
    tell_readings();
}

void RuledPage::resizeEvent(QResizeEvent*) { images_.clear(); }

}  // namespace skedlark::gui
