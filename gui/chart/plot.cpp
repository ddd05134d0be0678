#include "gui/chart/plot.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace skedlark::gui {
namespace {

constexpr double kRoomForNames = 0.18;

struct Reach {
    double low = std::numeric_limits<double>::infinity();
    double high = -std::numeric_limits<double>::infinity();
    void take(double value) {
        if (!std::isfinite(value)) return;
        low = std::min(low, value);
        high = std::max(high, value);
    }
};

PlotRange with_air(Reach reach, const PlotAxis& axis, bool from_zero) {
    if (from_zero) reach.take(0.0);
    if (!(reach.low <= reach.high)) reach = {0.0, 1.0};
    const double span = reach.high - reach.low;
    const double air = span > 0.0 ? 0.05 * span : std::max(0.5, 0.05 * std::abs(reach.low));
    PlotRange range{axis.from.value_or(reach.low - air), axis.to.value_or(reach.high + air)};
    if (from_zero && !axis.from && reach.low == 0.0) range.from = 0.0;
    if (from_zero && !axis.to && reach.high == 0.0) range.to = 0.0;
    if (!(range.from < range.to)) range.to = range.from + 1.0;
    return range;
}

}  // namespace

PlotRange x_range(const Plot& plot) {
    if (!plot.x.names.empty() && !plot.x.from && !plot.x.to) {
        return {-0.5, static_cast<double>(plot.x.names.size()) - 0.5};
    }
    Reach reach;
    for (const PlotSeries& series : plot.series) {
        const double half = series.look == SeriesLook::bars ? 0.5 * series.bar_width : 0.0;
        for (const double x : series.x) {
            reach.take(x - half);
            reach.take(x + half);
        }
    }
    for (const PlotMark& mark : plot.marks) {
        if (mark.upright) reach.take(mark.at);
    }
    return with_air(reach, plot.x, false);
}

PlotRange y_range(const Plot& plot) {
    Reach reach;
    bool from_zero = false;
    for (const PlotSeries& series : plot.series) {
        from_zero = from_zero || series.look == SeriesLook::bars;
        for (const auto* values : {&series.y, &series.low, &series.high}) {
            for (const double y : *values) reach.take(y);
        }
    }
    for (const PlotMark& mark : plot.marks) {
        if (!mark.upright) reach.take(mark.at);
    }
    PlotRange range = with_air(reach, plot.y, from_zero);
    const bool named = std::any_of(plot.marks.begin(), plot.marks.end(), [](const PlotMark& mark) {
        return mark.upright && !mark.name.empty();
    });
    // Their names stand above what is drawn.
    if (named && !plot.y.to) range.to += kRoomForNames * (range.to - range.from);
    return range;
}

Ticks ticks_for(const PlotRange& range, int most, bool whole) {
    const double least = (range.to - range.from) / std::max(most - 1, 1);
    double step = std::pow(10.0, std::floor(std::log10(least)));
    for (const double times : {1.0, 2.0, 5.0, 10.0}) {
        if (times * step >= least * (1.0 - 1e-9)) {
            step *= times;
            break;
        }
    }
    if (whole) step = std::max(1.0, step);
    Ticks ticks;
    ticks.step = step;
    ticks.first = std::ceil(range.from / step - 1e-9) * step;
    ticks.decimals = std::clamp(static_cast<int>(-std::floor(std::log10(step) + 1e-9)), 0, 9);
    return ticks;
}

}  // namespace skedlark::gui
