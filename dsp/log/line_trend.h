// Does a figure rise or fall with time: the slope of a straight line, and how sure that is.
//
// Stage:   log. In: times and values. Out: LineTrend.
// Units:   value a day.
// Shape:   three points and more, not all at one time; what is not finite is left out.
// Time:    none.
// Errors:  empty where too little is there.
// Threads: pure.
// Source:  ordinary least squares with Student's interval for the slope (Draper, Smith, Applied Regression
//          Analysis, ch. 1, from memory).
// Checked: tests/dsp/log/line_trend_test.cpp, against GSL
#pragma once

#include <cmath>
#include <optional>
#include <span>

namespace skedlark::log {

struct LineTrend {
    double per_day = 0.0;
    double half_width_95 = 0.0;
    [[nodiscard]] bool clear() const { return std::abs(per_day) > half_width_95; }
};

struct DatedValue {
    double day = 0.0;
    double value = 0.0;
};

[[nodiscard]] std::optional<LineTrend> line_trend(std::span<const DatedValue> values);

}  // namespace skedlark::log
