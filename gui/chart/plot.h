// What a plot shows, whoever draws it: series over two axes, and lines across at places that mean something.
//
// Stage:   gui/chart. In: a page's or a sheet's model. Out: Plot, for draw_plot.h.
// Units:   in the titles of the axes: "time (min)".
// Shape:   a series has as many x as y; NaN in y breaks its line; low and high are empty or of that length.
// Errors:  none; what is not finite is not drawn.
// Threads: plain data. No Qt.
// Source:  none
// Checked: tests/desk/chart/plot_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace skedlark::gui {

enum class SeriesLook { line, dots, bars };

struct PlotSeries {
    std::string name{};  // in the legend; empty: not in it
    SeriesLook look = SeriesLook::line;
    std::vector<double> x{}, y{};
    std::vector<double> low{}, high{};  // whiskers, or a band where there are many
    double bar_width = 0.8;             // on the x axis
};

// A line across the whole plot, with its name beside it.
struct PlotMark {
    double at = 0.0;
    bool upright = true;
    std::string name{};
};

struct PlotAxis {
    std::string title{};
    std::optional<double> from{}, to{};  // empty: as the series need it
    // What stands at 0, 1, 2 ...; empty: numbers.
    std::vector<std::string> names{};
    bool whole = false;  // counts: no fractions on the scale
};

struct Plot {
    std::string title{};
    std::string said{};  // the same in words, for who cannot see it
    PlotAxis x{}, y{};
    std::vector<PlotSeries> series{};
    std::vector<PlotMark> marks{};
};

struct PlotRange {
    double from = 0.0;
    double to = 1.0;
};
// As the axis says, else all that is to be drawn with a twentieth of air; never empty.
[[nodiscard]] PlotRange x_range(const Plot& plot);
[[nodiscard]] PlotRange y_range(const Plot& plot);

// Places of a scale's figures: 1, 2 or 5 times a power of ten apart, as many as fit under `most`.
struct Ticks {
    double first = 0.0;
    double step = 1.0;
    int decimals = 0;
};
[[nodiscard]] Ticks ticks_for(const PlotRange& range, int most, bool whole = false);

}  // namespace skedlark::gui
