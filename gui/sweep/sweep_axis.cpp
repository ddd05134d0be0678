#include "gui/sweep/sweep_axis.h"

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

SweepAxis::SweepAxis(double low_div, double high_div)
    : low_div_(std::min(low_div, high_div)), high_div_(std::max(low_div, high_div)) {
    if (high_div_ - low_div_ >= kLeastSpanDiv) return;
    const double middle = 0.5 * (low_div_ + high_div_);
    low_div_ = middle - 0.5 * kLeastSpanDiv;
    high_div_ = middle + 0.5 * kLeastSpanDiv;
}

SweepAxis SweepAxis::around(double from_div, double to_div) {
    const double margin = kMargin * std::abs(to_div - from_div);
    return {std::min(from_div, to_div) - margin, std::max(from_div, to_div) + margin};
}

void SweepAxis::set_pixels(double left, double width) {
    left_ = left;
    width_ = std::max(width, 1.0);
}

double SweepAxis::x_of(double div) const {
    return left_ + width_ * (div - low_div_) / (high_div_ - low_div_);
}

double SweepAxis::div_at(double x) const {
    return low_div_ + (high_div_ - low_div_) * (x - left_) / width_;
}

double SweepAxis::tick_step(int most) const {
    const double least = span_div() / std::max(most, 1);
    const double decade = std::pow(10.0, std::floor(std::log10(least)));
    for (const double times : {1.0, 2.0, 5.0}) {
        if (times * decade >= least * (1.0 - 1e-9)) return times * decade;
    }
    return 10.0 * decade;
}

std::vector<double> SweepAxis::ticks(int most) const {
    const double step = tick_step(most);
    std::vector<double> at;
    const auto first = static_cast<long>(std::ceil(low_div_ / step - 1e-9));
    for (long i = first; static_cast<double>(i) * step <= high_div_ + 1e-9 * step; ++i) {
        at.push_back(static_cast<double>(i) * step);
    }
    return at;
}

}  // namespace skedlark::gui
