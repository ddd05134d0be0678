// The peak meter, to be read across a bench: one large number, a bar with the highest held, which way it goes.
//
// Stage:   gui/bench. In: PeakHeard. Out: painted, and as words to be read out.
// Units:   dB below the highest; the bar is kBarDb long.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QWidget>
#include <optional>

#include "gui/bench/bench_user.h"
#include "gui/common/theme.h"

namespace skedlark::gui {

class PeakView : public QWidget {
    Q_OBJECT

 public:
    static constexpr double kBarDb = 20.0;

    explicit PeakView(QWidget* parent = nullptr);
    void restyle(const Theme& theme);
    void show_peak(const std::optional<PeakHeard>& peak);
    [[nodiscard]] QString number() const { return number_; }
    [[nodiscard]] QString words() const { return words_; }
    [[nodiscard]] QSize sizeHint() const override { return {400, 180}; }
    [[nodiscard]] QSize minimumSizeHint() const override { return {200, 110}; }

 protected:
    void paintEvent(QPaintEvent* event) override;

 private:
    Theme theme_;
    std::optional<PeakHeard> peak_;
    QString number_, trend_, words_;
};

}  // namespace skedlark::gui
