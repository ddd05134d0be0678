#include "dsp/dial/chart.h"

#include <algorithm>
#include <cmath>

namespace skedlark::dial {
namespace {

struct Columns {
    std::vector<double> div, mhz;
};

Columns columns_without(const std::vector<ChartPoint>& points,
                        std::optional<std::size_t> left_out) {
    Columns columns;
    for (std::size_t i = 0; i < points.size(); ++i) {
        if (i == left_out) continue;
        columns.div.push_back(points[i].div);
        columns.mhz.push_back(points[i].mhz);
    }
    return columns;
}

// Division of a frequency by all points but one; of three points, by the straight line that is left.
double div_without(const std::vector<ChartPoint>& points, std::size_t left_out) {
    const Columns rest = columns_without(points, left_out);
    const double mhz = points[left_out].mhz;
    if (rest.div.size() < kMinPoints) {
        return rest.div[0] +
               (mhz - rest.mhz[0]) * (rest.div[1] - rest.div[0]) / (rest.mhz[1] - rest.mhz[0]);
    }
    const Result<MonotoneCurve> curve = MonotoneCurve::create(rest.div, rest.mhz);
    return curve->inverse(mhz);
}

}  // namespace

Result<BandChart> BandChart::create(const Band& band) {
    Columns columns = columns_without(band.points, std::nullopt);
    Result<MonotoneCurve> curve =
        MonotoneCurve::create(std::move(columns.div), std::move(columns.mhz));
    if (!curve) {
        return Error{curve.error().code, "band \"" + band.name + "\": " + curve.error().message};
    }
    return BandChart(band, *std::move(curve));
}

BandChart::BandChart(const Band& band, MonotoneCurve curve)
    : curve_(std::move(curve)), residuals_div_(band.points.size()) {
    double squares = 0.0;
    const std::size_t last = band.points.size() - 1;
    for (std::size_t i = 1; i < last; ++i) {
        residuals_div_[i] = band.points[i].div - div_without(band.points, i);
        squares += *residuals_div_[i] * *residuals_div_[i];
    }
    chart_sd_div_ = band.chart_sd_div.value_or(std::sqrt(squares / static_cast<double>(last - 1)));
}

double BandChart::khz_per_div(double div) const {
    return 1000.0 * std::abs(mhz_at(div + 0.5) - mhz_at(div - 0.5));
}

double BandChart::low_mhz() const { return std::min(curve_.y().front(), curve_.y().back()); }
double BandChart::high_mhz() const { return std::max(curve_.y().front(), curve_.y().back()); }

}  // namespace skedlark::dial
