// The pictures of a graded sending: histograms of its lengths, its rhythm over time, its speed.
//
// Stage:   gui/sheet. In: lengths as the `keying` line gives them. Out: Plots.
// Units:   dots of this hand; seconds; words a minute by PARIS.
// Shape:   a plot of what was not sent is left out.
// Errors:  none.
// Threads: pure.
// Source:  marks of the standard: ITU-R M.1677-1 (1, 3 and 1, 3, 7)
// Checked: tests/desk/sheet/fist_plots_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/fist/sent_lengths.h"
#include "gui/chart/plot.h"

namespace skedlark::gui {

// Dots and dashes; gaps of all three kinds.
[[nodiscard]] Plot marks_histogram(std::span<const fist::SentLength> lengths, double unit_s);
[[nodiscard]] Plot gaps_histogram(std::span<const fist::SentLength> lengths, double unit_s);
// Each mark, or each gap, where it was sent.
[[nodiscard]] Plot marks_over_time(std::span<const fist::SentLength> lengths, double unit_s);
[[nodiscard]] Plot gaps_over_time(std::span<const fist::SentLength> lengths, double unit_s);
// Of stretches of kMarksAStretch marks: what the standard would take over what was taken, marks and gaps
// in characters only.
inline constexpr int kMarksAStretch = 25;
[[nodiscard]] Plot speed_over_time(std::span<const fist::SentLength> lengths);

}  // namespace skedlark::gui
