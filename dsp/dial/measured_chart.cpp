#include "dsp/dial/measured_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "dsp/core/csv.h"
#include "dsp/core/text_file.h"
#include "dsp/dial/chart.h"

namespace skedlark::dial {
namespace {

constexpr std::size_t kMaxBytes = 1000000;
constexpr double kMisfitSpreads = 4.0;
constexpr double kSdOfMedian = 1.4826;  // standard deviation of a normal over its median deviation

std::optional<ChartPoint> pair_of(std::string_view line) {
    const auto fields = csv::fields_of(line);
    if (fields.size() != 2) return std::nullopt;
    const auto div = csv::number(fields[0]);
    const auto mhz = csv::number(fields[1]);
    if (!div || !mhz) return std::nullopt;
    return ChartPoint{*div, *mhz, 0};
}

double spread_of(const std::vector<std::optional<double>>& residuals) {
    std::vector<double> sizes;
    for (const auto& residual : residuals) {
        if (residual) sizes.push_back(std::abs(*residual));
    }
    if (sizes.empty()) return 0.0;
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    return kSdOfMedian * *middle;
}

Band band_of(const std::string& name, const std::vector<PairFit>& pairs) {
    Band band;
    band.name = name;
    for (const PairFit& pair : pairs) {
        if (pair.fits) band.points.push_back(pair.pair);
    }
    if (band.points.empty()) return band;
    const auto [low, high] =
        std::minmax_element(band.points.begin(), band.points.end(),
                            [](const auto& a, const auto& b) { return a.mhz < b.mhz; });
    band.from_mhz = low->mhz;
    band.to_mhz = high->mhz;
    return band;
}

// The pair farthest from the curve through the others, where it is farther than those are from each
// other once it is gone: a wrong pair also throws off its neighbours, but itself the most.
std::optional<std::size_t> misfit(const Band& band,
                                  const std::vector<std::optional<double>>& residuals,
                                  double reading_sd_div) {
    std::size_t worst = 0;
    for (std::size_t i = 0; i < residuals.size(); ++i) {
        if (std::abs(residuals[i].value_or(0.0)) > std::abs(residuals[worst].value_or(0.0))) {
            worst = i;
        }
    }
    Band others = band;
    others.points.erase(others.points.begin() + static_cast<std::ptrdiff_t>(worst));
    const Result<BandChart> chart = BandChart::create(others);
    if (!chart) return std::nullopt;
    const double spread = std::max(spread_of(chart->residuals_div()), reading_sd_div);
    if (std::abs(residuals[worst].value_or(0.0)) <= kMisfitSpreads * spread) return std::nullopt;
    return worst;
}

// Where the n-th pair that fits stands in the list.
std::size_t place_of(const std::vector<PairFit>& pairs, std::size_t n) {
    std::size_t place = 0;
    for (;; ++place) {
        if (pairs[place].fits && n-- == 0) return place;
    }
}

void note_residuals(std::vector<PairFit>& pairs, const BandChart& chart) {
    std::size_t fitting = 0;
    for (PairFit& pair : pairs) {
        pair.residual_div = pair.fits ? chart.residuals_div()[fitting++]
                                      : pair.pair.div - chart.div_at(pair.pair.mhz);
    }
}

}  // namespace

Result<std::vector<ChartPoint>> parse_pairs(std::string_view text, const std::string& name) {
    std::vector<ChartPoint> pairs;
    bool begun = false;
    const Status read = csv::each_line(text, [&](std::string_view line, int at) -> Status {
        if (!std::exchange(begun, true) && csv::is_heading(line)) return Done{};
        std::optional<ChartPoint> pair = pair_of(line);
        if (!pair) {
            return Error{ErrorCode::damaged,
                         fmt::format("{}:{}: '{}' is no pair; allowed: division,MHz", name, at,
                                     line.substr(0, 60))};
        }
        pair->line = at;
        pairs.push_back(*pair);
        return Done{};
    });
    if (!read) return read.error();
    return pairs;
}

Result<std::vector<ChartPoint>> read_pairs(const std::string& path) {
    const Result<std::string> text = read_text_file(path, kMaxBytes);
    if (!text) return text.error();
    return parse_pairs(*text, path);
}

Result<MeasuredChart> make_chart(const Receiver& receiver, const std::string& band,
                                 std::vector<ChartPoint> pairs) {
    std::stable_sort(pairs.begin(), pairs.end(),
                     [](const auto& a, const auto& b) { return a.div < b.div; });
    MeasuredChart made;
    for (const ChartPoint& pair : pairs) made.pairs.push_back({pair, {}, true});
    const std::size_t may_go = pairs.size() / 4;
    for (std::size_t gone = 0;; ++gone) {
        made.band = band_of(band, made.pairs);
        if (Status s = check_band(receiver, made.band); !s) return s.error();
        const Result<BandChart> chart = BandChart::create(made.band);
        if (!chart) return chart.error();
        made.chart_sd_div = chart->chart_sd_div();
        note_residuals(made.pairs, *chart);
        const auto worst = misfit(made.band, chart->residuals_div(), receiver.reading_sd_div);
        if (!worst || gone == may_go) return made;
        made.pairs[place_of(made.pairs, *worst)].fits = false;
    }
}

}  // namespace skedlark::dial
