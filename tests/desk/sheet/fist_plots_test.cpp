// Pictures of a hand, against keying exactly by the standard.
#include "gui/sheet/fist_plots.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numeric>

namespace skedlark::gui {
namespace {

using fist::LengthKind;
using fist::SentLength;

// PARIS fifty times, 20 words a minute: a dot of 60 ms (ITU-R M.1677-1 and the 50-unit word).
std::vector<SentLength> machine() {
    std::vector<SentLength> lengths;
    double now_s = 0.0;
    for (int word = 0; word < 50; ++word) {
        const auto elements = morse::timed_elements("PARIS", {}, true);
        for (const morse::TimedElement& element : *elements) {
            const double length_s = 0.06 * element.units;
            lengths.push_back({static_cast<LengthKind>(element.kind), now_s, length_s});
            now_s += length_s;
        }
    }
    return lengths;
}

const PlotSeries& named(const Plot& plot, const std::string& name) {
    for (const PlotSeries& series : plot.series) {
        if (series.name == name) return series;
    }
    ADD_FAILURE() << name;
    return plot.series.front();
}

TEST(FistPlots, HistogramsHaveTheStandardsMarks) {
    const auto lengths = machine();
    const Plot marks = marks_histogram(lengths, 0.06);
    ASSERT_EQ(marks.marks.size(), 2U);
    EXPECT_EQ(marks.marks[0].at, 1.0);  // ITU-R M.1677-1
    EXPECT_EQ(marks.marks[1].at, 3.0);
    const Plot gaps = gaps_histogram(lengths, 0.06);
    ASSERT_EQ(gaps.marks.size(), 3U);
    EXPECT_EQ(gaps.marks[0].at, 1.0);
    EXPECT_EQ(gaps.marks[1].at, 3.0);
    EXPECT_EQ(gaps.marks[2].at, 7.0);
    // PARIS has 10 dots and 4 dashes; all of them stand within a bin of the mark.
    for (const auto& [name, count, at] :
         {std::tuple{"dots", 500.0, 1.0}, std::tuple{"dashes", 200.0, 3.0}}) {
        const PlotSeries& series = named(marks, name);
        EXPECT_EQ(std::accumulate(series.y.begin(), series.y.end(), 0.0), count);
        for (const double x : series.x) EXPECT_NEAR(x, at, series.bar_width);
    }
    EXPECT_NE(marks.said.find("500 dots, 1.00 dots on the mean, 1 in the standard"),
              std::string::npos)
        << marks.said;
}

TEST(FistPlots, SpeedOfAMachineIsFlat) {
    const Plot plot = speed_over_time(machine());
    ASSERT_EQ(plot.series.size(), 1U);
    EXPECT_EQ(plot.series[0].y.size(), 700U / kMarksAStretch);
    for (const double wpm : plot.series[0].y) EXPECT_NEAR(wpm, 20.0, 1e-9);
    EXPECT_TRUE(speed_over_time({}).series.empty());
}

TEST(FistPlots, EveryLengthHasItsPlaceInTime) {
    const auto lengths = machine();
    const Plot marks = marks_over_time(lengths, 0.06);
    EXPECT_EQ(named(marks, "dots").x.size(), 500U);
    const Plot gaps = gaps_over_time(lengths, 0.06);
    EXPECT_EQ(named(gaps, "between words").y.size(), 50U);
    for (const double units : named(gaps, "between words").y) EXPECT_NEAR(units, 7.0, 1e-9);
    EXPECT_TRUE(gaps_over_time({}, 0.06).series.empty());
}

}  // namespace
}  // namespace skedlark::gui
