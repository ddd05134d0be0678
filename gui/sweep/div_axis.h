// Where on the page a division of the dial stands, and a pitch: one axis for the picture and the curve.
//
// Stage:   gui/sweep, no Qt. In: a stretch of the dial, a width. Out: places and columns.
// Units:   divisions as read, pixels from the left edge, hertz.
// Shape:   the lower division is left, whichever way the dial is turned.
// Time:    none.
// Errors:  none; a stretch without width is taken as one division wide.
// Threads: none.
// Source:  none
// Checked: tests/desk/sweep/div_axis_test.cpp
#pragma once

#include <string>
#include <utility>
#include <vector>

namespace skedlark::gui {

class DivAxis {
 public:
    DivAxis() = default;
    DivAxis(double one_end_div, double other_end_div);

    [[nodiscard]] double low_div() const { return low_div_; }
    [[nodiscard]] double high_div() const { return high_div_; }
    [[nodiscard]] double x_of(double div, double width_px) const;
    [[nodiscard]] double div_at(double x_px, double width_px) const;
    // Of `columns` equal ones; a division outside belongs to the nearest.
    [[nodiscard]] int column_of(double div, int columns) const;
    // Columns that a column of the picture covers: [first, last) pixels.
    [[nodiscard]] static std::pair<int, int> pixels_of(int column, int columns, int width_px);

    // Divisions to letter, no closer than least_px: 0.1, 0.2, 0.5, 1, 2, 5, ... apart.
    [[nodiscard]] std::vector<double> lettered(double width_px, double least_px) const;
    [[nodiscard]] std::string letters(double div, double width_px, double least_px) const;

 private:
    [[nodiscard]] double apart(double width_px, double least_px) const;
    double low_div_ = 0.0;
    double high_div_ = 1.0;
};

// Height of a pitch: the lowest pitch at the foot.
[[nodiscard]] double y_of_pitch(double pitch_hz, double low_hz, double high_hz, double height_px);
// Strength of ink, 0 to 1, for a level over the noise.
[[nodiscard]] double ink_of_level(double over_noise_db);

}  // namespace skedlark::gui
