// Divisions along a line of the page: what the picture and the curve below it share.
//
// Stage:   gui/sweep, no Qt. In: the range shown, the pixels it has. Out: division to x and back,
//          where the ticks stand.
// Units:   divisions as read; pixels, not rounded.
// Shape:   rises from left to right, whichever way the dial is turned.
// Errors:  none; a range without width is made one of kLeastSpanDiv.
// Threads: values.
// Source:  none
// Checked: tests/desk/sweep/sweep_axis_test.cpp
#pragma once

#include <vector>

namespace skedlark::gui {

class SweepAxis {
 public:
    static constexpr double kLeastSpanDiv = 0.1;
    static constexpr double kMargin = 0.04;  // of the stretch, shown beyond each end of it

    SweepAxis() = default;
    // Ends in either order.
    SweepAxis(double low_div, double high_div);
    // The axis of a sweep from here to there.
    [[nodiscard]] static SweepAxis around(double from_div, double to_div);
    void set_pixels(double left, double width);

    [[nodiscard]] double x_of(double div) const;
    [[nodiscard]] double div_at(double x) const;
    [[nodiscard]] double low_div() const { return low_div_; }
    [[nodiscard]] double high_div() const { return high_div_; }
    [[nodiscard]] double span_div() const { return high_div_ - low_div_; }
    // Steps of 1, 2 or 5 times a power of ten, at most so many ticks, none closer to an end than shown.
    [[nodiscard]] double tick_step(int most) const;
    [[nodiscard]] std::vector<double> ticks(int most) const;

    bool operator==(const SweepAxis&) const = default;

 private:
    double low_div_ = 0.0;
    double high_div_ = 100.0;
    double left_ = 0.0;
    double width_ = 1.0;
};

}  // namespace skedlark::gui
