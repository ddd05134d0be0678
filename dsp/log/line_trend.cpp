#include "dsp/log/line_trend.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>

namespace skedlark::log {

std::optional<LineTrend> line_trend(std::span<const DatedValue> values) {
    double count = 0.0;
    double mean_day = 0.0;
    double mean_value = 0.0;
    const auto each = [&](auto take) {
        for (const DatedValue& one : values) {
            if (std::isfinite(one.day) && std::isfinite(one.value)) take(one);
        }
    };
    each([&](const DatedValue& one) {
        count += 1.0;
        mean_day += one.day;
        mean_value += one.value;
    });
    if (count < 3.0) return std::nullopt;
    mean_day /= count;
    mean_value /= count;
    double xx = 0.0;
    double xy = 0.0;
    double yy = 0.0;
    each([&](const DatedValue& one) {
        xx += (one.day - mean_day) * (one.day - mean_day);
        xy += (one.day - mean_day) * (one.value - mean_value);
        yy += (one.value - mean_value) * (one.value - mean_value);
    });
    // Times that differ by less than a second are one.
    if (!(xx > count * 1e-10)) return std::nullopt;
    const double slope = xy / xx;
    const double left = std::max(0.0, yy - slope * xy);
    const double sd = std::sqrt(left / (count - 2.0) / xx);
    const boost::math::students_t student(count - 2.0);
    return LineTrend{slope, boost::math::quantile(student, 0.975) * sd};
}

}  // namespace skedlark::log
