// What the chart of a band looks like: its points, the curve, today's correction with its 95 % band.
//
// Stage:   gui/plan, no Qt. In: receiver, band, known stations. Out: lines of points to draw.
// Units:   divisions as read on the dial; MHz; divisions off the chart, positive: the dial reads more.
// Shape:   lines have `count` points, evenly along the chart: about one a pixel is enough.
// Errors:  that of the dial stands in `problem`; the lines are empty then.
// Threads: all functions are pure.
// Source:  none
// Checked: tests/desk/plan/chart_model_test.cpp
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "dsp/dial/dial.h"

namespace skedlark::gui {

struct XY {
    double x = 0.0;
    double y = 0.0;
};

struct ChartPicture {
    std::vector<XY> points{};  // of the chart: where they read today, MHz
    std::vector<XY> curve{};   // division, MHz
    // Divisions off the chart, by division.
    std::vector<XY> correction{};
    std::vector<XY> low95{};
    std::vector<XY> high95{};
    std::vector<XY> residuals{};  // each point against the curve through the others
    std::vector<XY> known{};      // stations the correction comes from
    std::vector<XY> left_out{};   // stations that do not fit
    std::string words{};          // the correction in a sentence
    std::string problem{};
};

[[nodiscard]] ChartPicture chart_picture(const dial::Receiver& receiver, const std::string& band,
                                         const std::vector<dial::KnownStation>& known,
                                         std::size_t count);

// "5=57.2" or "5 57.2": megahertz, then the division of zero beat.
[[nodiscard]] Result<dial::KnownStation> read_known(std::string_view text);

}  // namespace skedlark::gui
