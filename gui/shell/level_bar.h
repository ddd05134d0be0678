// The level of the input as a bar with a mark where it is good, and in a word.
//
// Stage:   gui/shell, paints only. In: Level.
// Units:   dBFS of the peak, -70 to 0 across the bar.
// Checked: tests/desk/shell/window_test.cpp
#pragma once

#include <QWidget>

#include "gui/common/theme.h"
#include "gui/listen/level_meter.h"

namespace skedlark::gui {

// "too low", "good", "clipping", "no signal".
[[nodiscard]] const char* word_of(audio::LevelVerdict verdict);

class LevelBar : public QWidget {
    Q_OBJECT

 public:
    explicit LevelBar(QWidget* parent = nullptr);

    void show_level(const Level& level, bool heard);
    void restyle(const Theme& theme);
    [[nodiscard]] QSize sizeHint() const override;

 protected:
    void paintEvent(QPaintEvent* event) override;

 private:
    Theme theme_;
    Level level_;
    bool heard_ = false;
};

}  // namespace skedlark::gui
