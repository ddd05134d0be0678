// How the desk looks: one hue, ink on paper; dark is the reverse.
//
// Stage:   gui/common. Out: colours, type sizes, the application's palette and style sheet.
// Units:   strength 0 (paper) to 1 (full ink); type in points.
// Shape:   every page takes its colours from here and none of its own. State is never told by
//          strength alone: a word or a shape stands with it.
// Threads: the window's.
// Source:  contrast of full ink on paper above 7:1, of kFaint above 3:1 (WCAG 2.1, 1.4.6, 1.4.11).
// Checked: tests/desk/common/theme_test.cpp
#pragma once

#include <QColor>
#include <QFont>
#include <QPalette>

namespace skedlark::gui {

class Theme {
 public:
    Theme() = default;
    Theme(bool dark, double type_percent) : dark_(dark), type_percent_(type_percent) {}

    static constexpr double kFaint = 0.55;  // least strength of what must be read
    static constexpr double kRule = 0.22;   // lines of the page
    static constexpr double kWash = 0.07;   // behind what is chosen

    [[nodiscard]] bool dark() const { return dark_; }
    [[nodiscard]] QColor paper() const;
    // Between paper and full ink.
    [[nodiscard]] QColor ink(double strength = 1.0) const;
    [[nodiscard]] QPalette palette() const;
    [[nodiscard]] QString style_sheet() const;

    [[nodiscard]] QFont body() const { return font(11.0); }
    [[nodiscard]] QFont copy_text() const;                      // one width, for what is copied
    [[nodiscard]] QFont figures() const { return font(20.0); }  // read at arm's length
    [[nodiscard]] QFont readout() const { return font(44.0); }  // read from two metres

 private:
    [[nodiscard]] QFont font(double points) const;

    bool dark_ = false;
    double type_percent_ = 100.0;
};

}  // namespace skedlark::gui
