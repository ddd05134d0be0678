#include "gui/chart/plot.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace skedlark::gui {
namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

Plot of(SeriesLook look, std::vector<double> x, std::vector<double> y) {
    Plot plot;
    plot.series.push_back({"a", look, std::move(x), std::move(y)});
    return plot;
}

TEST(Plot, EverythingIsInItsRange) {
    Plot plot = of(SeriesLook::line, {1, 2, 3}, {5, kNone, 9});
    plot.series[0].low = {4, kNone, 8};
    plot.series[0].high = {6, kNone, 12};
    plot.marks = {{10.0, true, "end"}, {-3.0, false, "limit"}};
    EXPECT_LT(x_range(plot).from, 1.0);
    EXPECT_GT(x_range(plot).to, 10.0);
    EXPECT_LT(y_range(plot).from, -3.0);
    EXPECT_GT(y_range(plot).to, 12.0);
}

TEST(Plot, BarsStandOnZero) {
    EXPECT_EQ(y_range(of(SeriesLook::bars, {1, 2}, {3, 4})).from, 0.0);
    EXPECT_EQ(y_range(of(SeriesLook::bars, {1, 2}, {-3, -4})).to, 0.0);
    EXPECT_LE(x_range(of(SeriesLook::bars, {1, 2}, {3, 4})).from, 0.6);
}

TEST(Plot, NeverEmpty) {
    for (const Plot& plot : {Plot{}, of(SeriesLook::dots, {2}, {7}), of(SeriesLook::line, {0}, {0}),
                             of(SeriesLook::line, {kNone}, {kNone})}) {
        EXPECT_LT(x_range(plot).from, x_range(plot).to);
        EXPECT_LT(y_range(plot).from, y_range(plot).to);
    }
    Plot named;
    named.x.names = {"Mon", "Tue", "Wed"};
    EXPECT_EQ(x_range(named).from, -0.5);
    EXPECT_EQ(x_range(named).to, 2.5);
    Plot wrong = of(SeriesLook::line, {1, 2}, {1, 2});
    wrong.y.from = 5.0;
    wrong.y.to = 5.0;
    EXPECT_LT(y_range(wrong).from, y_range(wrong).to);
}

// Steps of 1, 2 or 5 times a power of ten (common practice), inside the range, never more than asked for.
TEST(Plot, FiguresOfAScale) {
    for (const PlotRange& range :
         {PlotRange{0.0, 1.0}, PlotRange{-3.3, 17.0}, PlotRange{1e-6, 3e-6},
          PlotRange{690.0, 712.0}, PlotRange{0.0, 1e5}}) {
        for (const int most : {3, 6, 10}) {
            const Ticks ticks = ticks_for(range, most);
            const double mantissa =
                ticks.step / std::pow(10.0, std::floor(std::log10(ticks.step * (1.0 + 1e-9))));
            EXPECT_TRUE(std::abs(mantissa - 1) < 1e-6 || std::abs(mantissa - 2) < 1e-6 ||
                        std::abs(mantissa - 5) < 1e-6)
                << mantissa;
            EXPECT_GE(ticks.first, range.from - 1e-6 * ticks.step);
            EXPECT_LE((range.to - ticks.first) / ticks.step, most);
            // As many decimals as tell neighbours apart.
            EXPECT_LE(std::pow(10.0, -ticks.decimals), ticks.step * (1.0 + 1e-6));
        }
    }
    EXPECT_EQ(ticks_for({0.0, 2.0}, 10, true).step, 1.0);
}

}  // namespace
}  // namespace skedlark::gui
