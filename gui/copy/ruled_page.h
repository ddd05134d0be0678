// The ruled page: lines of 15 s, the waterfall about the wanted pitch, the characters on the rule.
//
// Stage:   gui/copy. In: a CopyModel. Out: what is drawn; the character pointed at, the stretch marked.
// Units:   pixels of the window; work-rate frames in signals.
// Shape:   newest line at the bottom. Keys: Left, Right a character; with Shift they mark a stretch;
//          Up, Down, PageUp, PageDown scroll; End goes to the newest; Escape clears; Return corrects.
// Time:    refresh() draws only what came since.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/copy/copy_page_test.cpp
#pragma once

#include <QWidget>
#include <map>
#include <optional>
#include <vector>

#include "gui/common/theme.h"
#include "gui/copy/copy_model.h"
#include "gui/copy/line_image.h"
#include "gui/copy/page_layout.h"

namespace skedlark::gui {

class RuledPage : public QWidget {
    Q_OBJECT

 public:
    explicit RuledPage(const CopyModel& model, QWidget* parent = nullptr);

    void set_theme(const Theme& theme);
    void refresh();
    [[nodiscard]] std::optional<Copied> pointed() const;
    [[nodiscard]] std::optional<Stretch> marked() const { return marked_; }
    [[nodiscard]] QSize minimumSizeHint() const override;

 signals:
    void pointed_changed();
    void marked_changed();
    void correction_wanted();

 protected:
    void paintEvent(QPaintEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    void wheelEvent(QWheelEvent* event) override;
    void mousePressEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void leaveEvent(QEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;

 private:
    // Of a line from its top.
    struct Measures {
        int margin = 0;  // left, for the clock
        int picture = 0;
        int rule = 0;  // below the picture, with the characters
        int width = 0;
        int lines = 1;
        [[nodiscard]] int line() const { return picture + rule; }
    };
    [[nodiscard]] Measures measures() const;
    [[nodiscard]] std::int64_t newest_line() const;
    [[nodiscard]] std::int64_t oldest_line() const;
    [[nodiscard]] QRect line_rect(std::int64_t line) const;
    [[nodiscard]] std::optional<PagePlace> place_at(const QPointF& point) const;
    LineImage& image_of(std::int64_t line);
    void paint_line(QPainter& painter, std::int64_t line, const QRect& dirty);
    void paint_moves(QPainter& painter, std::int64_t line, const QRect& picture);
    void paint_characters(QPainter& painter, std::int64_t line, const QRect& rule);
    void paint_stretch(QPainter& painter, std::int64_t line, const QRect& picture,
                       const Stretch& stretch, const QString& word);
    void scroll_to(std::int64_t bottom_line);
    void point_at(std::optional<std::size_t> index);
    void step(int by, bool marking);
    void mark(std::optional<Stretch> stretch);
    void tell_readings();

    const CopyModel& model_;
    Theme theme_;
    InkTable inks_{};
    std::vector<Copied> characters_;
    std::uint64_t revision_ = 0;
    int shown_tone_ = 0;
    int shown_input_ = 0;
    std::map<std::int64_t, LineImage> images_;
    std::optional<std::int64_t> bottom_;  // empty: follows the newest
    std::int64_t last_newest_ = 0;
    std::optional<FrameIndex> cursor_;  // start of the character pointed at
    std::optional<FrameIndex> hovered_;
    std::optional<Stretch> anchor_;  // character or place where marking began
    std::optional<Stretch> marked_;
};

}  // namespace skedlark::gui
