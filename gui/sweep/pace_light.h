// What leads the hand, read at two metres: the division the dial should be at, and a light that beats.
//
// Stage:   gui/sweep. In: DialNow, beats. Out: a widget.
// Units:   divisions, milliseconds.
// Shape:   a ring that empties on the way to the next division and is a full disc for kBeatMs when it is
//          reached; it is told by shape, not by strength.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QElapsedTimer>
#include <QWidget>

#include "gui/common/theme.h"
#include "gui/sweep/sweep_model.h"

namespace skedlark::gui {

class PaceLight : public QWidget {
    Q_OBJECT

 public:
    static constexpr qint64 kBeatMs = 250;

    explicit PaceLight(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void show_dial(const DialNow& dial, const QString& below);
    void beat();
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

 protected:
    void paintEvent(QPaintEvent* event) override;

 private:
    Theme theme_;
    DialNow dial_;
    QString digits_;
    QString below_;
    QElapsedTimer since_beat_;
    bool lit_ = false;
};

}  // namespace skedlark::gui
