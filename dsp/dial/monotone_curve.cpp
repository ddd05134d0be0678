#include "dsp/dial/monotone_curve.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace skedlark::dial {
namespace {

Error bad_point(std::size_t index, const std::string& why) {
    return {ErrorCode::invalid_value, "point " + std::to_string(index + 1) + ": " + why};
}

// Slope at an end from its two pieces, kept within what leaves the curve monotone.
double end_slope(double near_h, double far_h, double near_rise, double far_rise) {
    const double slope =
        ((2.0 * near_h + far_h) * near_rise - near_h * far_rise) / (near_h + far_h);
    // All rises have one sign here: a slope of the other sign would turn back.
    if (slope * near_rise <= 0.0) return 0.0;
    return std::abs(slope) > 3.0 * std::abs(near_rise) ? 3.0 * near_rise : slope;
}

}  // namespace

Result<MonotoneCurve> MonotoneCurve::create(std::vector<double> x, std::vector<double> y) {
    if (x.size() != y.size() || x.size() < 3) {
        return Error{ErrorCode::invalid_value, "a curve has " +
                                                   std::to_string(std::min(x.size(), y.size())) +
                                                   " points; allowed: 3 and more"};
    }
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (!std::isfinite(x[i]) || !std::isfinite(y[i])) return bad_point(i, "is not finite");
        if (i > 0 && !(x[i] > x[i - 1])) return bad_point(i, "x does not rise");
        if (i > 0 && !((y[i] - y[i - 1]) * (y[1] - y[0]) > 0.0)) {
            return bad_point(i, "y falls back or repeats");
        }
    }
    return MonotoneCurve(std::move(x), std::move(y));
}

MonotoneCurve::MonotoneCurve(std::vector<double> x, std::vector<double> y)
    : x_(std::move(x)), y_(std::move(y)), slopes_(x_.size()) {
    const std::size_t last = x_.size() - 1;
    std::vector<double> width(last), rise(last);
    for (std::size_t k = 0; k < last; ++k) {
        width[k] = x_[k + 1] - x_[k];
        rise[k] = (y_[k + 1] - y_[k]) / width[k];
    }
    for (std::size_t k = 1; k < last; ++k) {
        const double before = 2.0 * width[k] + width[k - 1];
        const double after = width[k] + 2.0 * width[k - 1];
        slopes_[k] = (before + after) / (before / rise[k - 1] + after / rise[k]);
    }
    slopes_[0] = end_slope(width[0], width[1], rise[0], rise[1]);
    slopes_[last] = end_slope(width[last - 1], width[last - 2], rise[last - 1], rise[last - 2]);
}

std::size_t MonotoneCurve::piece_at(double x) const {
    const auto after = std::upper_bound(x_.begin() + 1, x_.end() - 1, x);
    return static_cast<std::size_t>(after - x_.begin()) - 1;
}

double MonotoneCurve::value(double x) const {
    if (x <= x_.front()) return y_.front() + slopes_.front() * (x - x_.front());
    if (x >= x_.back()) return y_.back() + slopes_.back() * (x - x_.back());
    const std::size_t k = piece_at(x);
    const double h = x_[k + 1] - x_[k];
    const double t = (x - x_[k]) / h;
    const double u = 1.0 - t;
    // Cubic Hermite form.
    return u * u * ((1.0 + 2.0 * t) * y_[k] + t * h * slopes_[k]) +
           t * t * ((1.0 + 2.0 * u) * y_[k + 1] - u * h * slopes_[k + 1]);
}

double MonotoneCurve::slope(double x) const {
    if (x <= x_.front()) return slopes_.front();
    if (x >= x_.back()) return slopes_.back();
    const std::size_t k = piece_at(x);
    const double h = x_[k + 1] - x_[k];
    const double t = (x - x_[k]) / h;
    const double rise = (y_[k + 1] - y_[k]) / h;
    return 6.0 * t * (1.0 - t) * rise + (1.0 - t) * (1.0 - 3.0 * t) * slopes_[k] +
           t * (3.0 * t - 2.0) * slopes_[k + 1];
}

double MonotoneCurve::inverse(double y) const {
    const bool rises = y_.back() > y_.front();
    const auto beyond = [&](double a, double b) { return rises ? a <= b : a >= b; };
    if (beyond(y, y_.front()) || beyond(y_.back(), y)) {
        const bool before = beyond(y, y_.front());
        const double from_x = before ? x_.front() : x_.back();
        const double from_y = before ? y_.front() : y_.back();
        const double slope = before ? slopes_.front() : slopes_.back();
        // A flat end leads nowhere: the end itself is the nearest there is.
        return slope == 0.0 ? from_x : from_x + (y - from_y) / slope;
    }
    double low = x_.front();
    double high = x_.back();
    // Halving never fails on a monotone curve and ends at neighbouring numbers.
    for (int n = 0; n < 200 && high - low > 0.0; ++n) {
        const double middle = 0.5 * (low + high);
        if (middle <= low || middle >= high) break;
        (beyond(value(middle), y) ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

}  // namespace skedlark::dial
