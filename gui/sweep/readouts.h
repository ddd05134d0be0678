// What is read from two metres: where the dial should be with its light, and the way back to a station.
//
// Stage:   gui/sweep. In: what the model says. Out: paint.
// Units:   none.
// Shape:   large figures, made smaller where the room is narrow; a shape beside each word.
// Time:    repainted only where something changed.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QWidget>

#include "gui/common/theme.h"
#include "gui/sweep/sweep_model.h"

namespace skedlark::gui {

// Words, large figures and a shape, in one box.
class Readout : public QWidget {
    Q_OBJECT

 public:
    enum class Shape { none, ring, filled, rest, done, up, down, there };
    struct Text {
        QString above;    // words
        QString figures;  // large
        QString below;
        Shape shape = Shape::none;
        bool operator==(const Text& other) const {
            return above == other.above && figures == other.figures && below == other.below &&
                   shape == other.shape;
        }
    };

    explicit Readout(const QString& name, QWidget* parent = nullptr);
    void restyle(const Theme& theme);
    // The words above as large as the figures.
    void set_large_words(bool large) { large_words_ = large; }
    void show_text(const Text& text);
    [[nodiscard]] const Text& text() const { return text_; }
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

 protected:
    void paintEvent(QPaintEvent* event) override;

 private:
    Theme theme_;
    Text text_;
    bool large_words_ = false;
};

[[nodiscard]] Readout::Text text_of(const PaceView& view);
[[nodiscard]] Readout::Text text_of(const ZeroInView& view);

}  // namespace skedlark::gui
