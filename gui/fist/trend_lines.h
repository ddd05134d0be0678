// What can be followed from week to week, and its line.
//
// Stage:   gui/fist, no Qt. In: WeekOfSending list. Out: choices, points, rows of the table.
// Units:   score 0 to 100; words a minute; shares in per cent.
// Shape:   a point a week that has the figure.
// Errors:  none.
// Threads: pure.
// Source:  none
// Checked: tests/desk/fist/trend_lines_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/log/sending_trend.h"

namespace skedlark::gui {

enum class TrendOf { score, test_score, speed, fault, character };

struct TrendChoice {
    TrendOf of = TrendOf::score;
    std::string which{};  // fault or character
    std::string words{};  // as the box shows it
    std::string unit{};   // of its axis
};
// Score, score of the fixed test, speed, then faults and characters, the hardest first.
[[nodiscard]] std::vector<TrendChoice> trend_choices(const std::vector<log::WeekOfSending>& weeks);

struct TrendPoint {
    UtcTime monday{};
    double value = 0.0;
};
[[nodiscard]] std::vector<TrendPoint> trend_line(const std::vector<log::WeekOfSending>& weeks,
                                                 const TrendChoice& choice);

struct TrendRow {
    std::string week{};
    std::string attempts{};
    std::string score{};
    std::string speed{};
    std::string tests{};
    std::string test_score{};
    std::string faults{};
    std::string hardest{};  // characters of that week
};
[[nodiscard]] std::vector<TrendRow> trend_rows(const std::vector<log::WeekOfSending>& weeks);

// "gaps closed"
[[nodiscard]] std::string in_words(std::string fault_name);

}  // namespace skedlark::gui
