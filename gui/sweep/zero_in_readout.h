// The way back to a station, read at two metres: an arrow, a word, digits, and why.
//
// Stage:   gui/sweep. In: ZeroInWords. Out: a widget.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QLabel>
#include <QWidget>

#include "gui/common/theme.h"
#include "gui/sweep/zero_in_words.h"

namespace skedlark::gui {

class ZeroInReadout : public QWidget {
    Q_OBJECT

 public:
    explicit ZeroInReadout(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void show_words(const ZeroInWords& words);

 private:
    QLabel* word_;
    QLabel* digits_;
    QLabel* why_;
};

}  // namespace skedlark::gui
