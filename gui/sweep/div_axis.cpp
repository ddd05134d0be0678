#include "gui/sweep/div_axis.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {
// Noise on the mean is 0 dB; ink begins where noise seldom comes and is full where a tone is plain.
constexpr double kNoInkDb = 2.0;
constexpr double kFullInkDb = 16.0;
constexpr double kFinestDiv = 0.01;
}  // namespace

DivAxis::DivAxis(double one_end_div, double other_end_div)
    : low_div_(std::min(one_end_div, other_end_div)),
      high_div_(std::max(one_end_div, other_end_div)) {
    if (!(high_div_ > low_div_)) high_div_ = low_div_ + 1.0;
}

double DivAxis::x_of(double div, double width_px) const {
    return width_px * (div - low_div_) / (high_div_ - low_div_);
}

double DivAxis::div_at(double x_px, double width_px) const {
    return low_div_ + (high_div_ - low_div_) * x_px / std::max(width_px, 1.0);
}

int DivAxis::column_of(double div, int columns) const {
    const double place = std::floor(x_of(div, columns));
    return static_cast<int>(std::clamp(place, 0.0, columns - 1.0));
}

std::pair<int, int> DivAxis::pixels_of(int column, int columns, int width_px) {
    const double each = static_cast<double>(width_px) / columns;
    return {static_cast<int>(std::floor(column * each)),
            static_cast<int>(std::ceil((column + 1) * each - 1e-6))};
}

double DivAxis::apart(double width_px, double least_px) const {
    const double div_per_px = (high_div_ - low_div_) / std::max(width_px, 1.0);
    double decade = kFinestDiv;
    for (int n = 0; n < 12; ++n, decade *= 10.0) {
        for (const double times : {1.0, 2.0, 5.0}) {
            if (times * decade >= least_px * div_per_px) return times * decade;
        }
    }
    return decade;
}

std::vector<double> DivAxis::lettered(double width_px, double least_px) const {
    const double step = apart(width_px, least_px);
    std::vector<double> divs;
    const double first = std::ceil(low_div_ / step - 1e-9);
    for (double n = first; n * step <= high_div_ + 1e-9 * step; n += 1.0) divs.push_back(n * step);
    return divs;
}

std::string DivAxis::letters(double div, double width_px, double least_px) const {
    const double step = apart(width_px, least_px);
    return step >= 1.0   ? fmt::format("{:.0f}", div)
           : step >= 0.1 ? fmt::format("{:.1f}", div)
                         : fmt::format("{:.2f}", div);
}

double y_of_pitch(double pitch_hz, double low_hz, double high_hz, double height_px) {
    return height_px * (high_hz - pitch_hz) / (high_hz - low_hz);
}

double ink_of_level(double over_noise_db) {
    return std::clamp((over_noise_db - kNoInkDb) / (kFullInkDb - kNoInkDb), 0.0, 1.0);
}

}  // namespace skedlark::gui
