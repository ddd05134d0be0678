#include "dsp/bench/dial_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <map>

#include "dsp/bench/input_check.h"
#include "dsp/dial/chart.h"
#include "dsp/dial/dial.h"

namespace skedlark::bench {
namespace {

constexpr std::size_t kMostPoints = 1000;

// Differences at frequencies reached both ways, each by the means of its readings.
std::optional<Figure> backlash(const std::vector<CheckPoint>& points, double reading_sd_div) {
    struct Both {
        double below = 0.0, above = 0.0;
        int from_below = 0, from_above = 0;
    };
    std::map<double, Both> by_mhz;
    for (const CheckPoint& p : points) {
        Both& both = by_mhz[p.mhz];
        if (p.approach == Approach::from_below) {
            both.below += p.div;
            ++both.from_below;
        } else if (p.approach == Approach::from_above) {
            both.above += p.div;
            ++both.from_above;
        }
    }
    std::vector<double> differences;
    double variance = 0.0;
    for (const auto& [mhz, both] : by_mhz) {
        if (both.from_below == 0 || both.from_above == 0) continue;
        differences.push_back(both.above / both.from_above - both.below / both.from_below);
        variance +=
            reading_sd_div * reading_sd_div * (1.0 / both.from_below + 1.0 / both.from_above);
    }
    if (differences.empty()) return std::nullopt;
    const auto count = static_cast<double>(differences.size());
    double mean = 0.0, squares = 0.0;
    for (const double d : differences) mean += d / count;
    for (const double d : differences) squares += (d - mean) * (d - mean);
    // Few differences say little of their own spread: then that of the readings stands.
    if (count < 4.0) return Figure{mean, expanded_95(std::sqrt(variance) / count)};
    const double t = boost::math::quantile(boost::math::students_t(count - 1.0), 0.975);
    return Figure{mean, t * std::sqrt(squares / (count - 1.0) / count)};
}

std::size_t band_index(const dial::Receiver& receiver, const std::string& band) {
    return static_cast<std::size_t>(std::find_if(receiver.bands.begin(), receiver.bands.end(),
                                                 [&](const auto& b) { return b.name == band; }) -
                                    receiver.bands.begin());
}

void judge(DialCheck& check, const DialCheckConfig& config) {
    for (const CheckedPoint& p : check.points) {
        if (!p.fits) continue;
        check.largest_div = std::max(check.largest_div, std::abs(p.error_div.value));
        check.largest_left_div = std::max(check.largest_left_div, std::abs(p.left_div.value));
    }
    check.within = check.largest_div <= config.within_div;
    check.within_once_corrected = check.largest_left_div <= config.within_div;
}

}  // namespace

Result<DialCheck> check_dial(const dial::Receiver& receiver, const std::string& band,
                             const std::vector<CheckPoint>& points, const DialCheckConfig& config) {
    if (Status s = within_range("within_div", config.within_div, 0.001, 100.0); !s)
        return s.error();
    if (points.empty() || points.size() > kMostPoints) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("check points: {} are not allowed; allowed: 1 to {}",
                                 points.size(), kMostPoints)};
    }
    std::vector<dial::KnownStation> known;
    for (const CheckPoint& p : points) {
        if (!std::isfinite(p.mhz) || !std::isfinite(p.div)) {
            return Error{
                ErrorCode::invalid_value,
                fmt::format("check point {} MHz at division {} is no number", p.mhz, p.div)};
        }
        known.push_back({p.mhz, p.div});
    }
    const auto dial = dial::Dial::create(receiver, band, known);
    if (!dial) return dial.error();
    const dial::BandChart& chart = dial->chart();
    DialCheck check;
    check.correction = dial->correction();
    check.offset_div = {check.correction.offset_div,
                        expanded_95(std::sqrt(check.correction.offset_variance))};
    if (check.correction.has_stretch) {
        check.stretch = Figure{check.correction.stretch,
                               expanded_95(std::sqrt(check.correction.stretch_variance))};
    }
    const double reading = receiver.reading_sd_div;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const dial::KnownFit& fit = check.correction.stations[i];
        CheckedPoint p{
            points[i], fit.chart_div, {points[i].div - fit.chart_div, expanded_95(reading)}, 0.0,
            {},        fit.fits};
        p.error_khz = -1000.0 * (chart.mhz_at(points[i].div) - points[i].mhz);
        p.left_div = {
            fit.residual_div,
            expanded_95(std::sqrt(reading * reading + check.correction.variance(fit.chart_div)))};
        check.points.push_back(p);
    }
    check.backlash_div = backlash(points, reading);
    judge(check, config);
    return check;
}

Result<dial::Receiver> corrected(const dial::Receiver& receiver, const std::string& band,
                                 const dial::Correction& correction) {
    dial::Receiver moved = receiver;
    const std::size_t at = band_index(receiver, band);
    if (at == receiver.bands.size())
        return Error{ErrorCode::not_found, fmt::format("band '{}' is not there; bands: {}", band,
                                                       dial::bands_in_words(receiver))};
    for (dial::ChartPoint& point : moved.bands[at].points)
        point.div = correction.dial_div(point.div);
    // The scale's ends stay; chart points moved beyond them widen it.
    for (const dial::ChartPoint& point : moved.bands[at].points) {
        moved.from_div = std::min(moved.from_div, point.div);
        moved.to_div = std::max(moved.to_div, point.div);
    }
    if (Status s = dial::check(moved); !s) return s.error();
    return moved;
}

}  // namespace skedlark::bench
