#include "dsp/bench/passband.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr double kTrustedOverNoiseDb = 10.0;
constexpr std::size_t kFitPoints = 6;

// Where the level crosses a limit between point i (inside) and the next one outwards (`step`): a line through the
// points about it, which also evens out their noise; how far a straight line between the two would differ is
// part of the uncertainty.
std::optional<Figure> crossing(const std::vector<ResponsePoint>& points, std::size_t inside,
                               int step, double limit_db, double peak_uncertainty_db) {
    const auto at = [&](std::ptrdiff_t i) -> const ResponsePoint& {
        return points[static_cast<std::size_t>(i)];
    };
    const auto in = static_cast<std::ptrdiff_t>(inside), out = in + step;
    const double fall = at(out).level_db.value - at(in).level_db.value;
    const double straight = at(in).offset_hz + (limit_db - at(in).level_db.value) / fall *
                                                   (at(out).offset_hz - at(in).offset_hz);
    // Points whose noise is far less than their spacing need no evening out.
    const double spacing_db = std::abs(fall);
    std::ptrdiff_t reach = 1;
    double noise_db = std::max(at(in).level_db.uncertainty_95, at(out).level_db.uncertainty_95);
    while (noise_db > 0.3 * spacing_db * static_cast<double>(reach) &&
           reach < static_cast<std::ptrdiff_t>(kFitPoints))
        ++reach;
    double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
    const auto low = std::max<std::ptrdiff_t>(0, std::min(in, out) - reach + 1);
    const auto high =
        std::min(static_cast<std::ptrdiff_t>(points.size()) - 1, std::max(in, out) + reach - 1);
    for (auto i = low; i <= high; ++i) {
        const double x = at(i).offset_hz - straight, y = at(i).level_db.value - limit_db;
        n += 1;
        sx += x;
        sy += y;
        sxx += x * x;
        sxy += x * y;
    }
    const double spread = n * sxx - sx * sx;
    if (!(spread > 0.0)) return std::nullopt;
    const double slope = (n * sxy - sx * sy) / spread;
    if (slope == 0.0) return std::nullopt;
    const double fitted = straight - (sy - slope * sx) / n / slope;
    const double value = reach > 1 ? fitted : straight;
    // Bend of the curve between two points: an eighth of the second difference.
    double bend_db = 0.0;
    if (low - 1 >= 0 && high + 1 < static_cast<std::ptrdiff_t>(points.size()) && reach == 1) {
        const double before = (at(low).level_db.value - at(low - 1).level_db.value) /
                              std::max(1e-9, at(low).offset_hz - at(low - 1).offset_hz);
        const double after = (at(high + 1).level_db.value - at(high).level_db.value) /
                             std::max(1e-9, at(high + 1).offset_hz - at(high).offset_hz);
        bend_db = 0.0625 * std::abs(after - before) * (at(high).offset_hz - at(low).offset_hz);
    }
    // Pitches have errors too: what the points scatter about the line tells of both.
    double squares = 0.0;
    for (auto i = low; i <= high; ++i) {
        squares += std::pow(at(i).level_db.value - limit_db - sy / n -
                                slope * (at(i).offset_hz - straight - sx / n),
                            2);
    }
    if (reach > 1 && n > 3.0)
        noise_db = std::max(noise_db, 1.15 * expanded_95(std::sqrt(squares / (n - 2.0))));
    const double level_db = noise_db / std::sqrt(reach > 1 ? n : 1.0);
    const double uncertainty =
        std::hypot(std::hypot(level_db, peak_uncertainty_db), bend_db) / std::abs(slope);
    return Figure{value, uncertainty};
}

// From the outside inwards: the dip at zero beat is no edge.
std::optional<Figure> edge(const std::vector<ResponsePoint>& points, int outwards, double limit_db,
                           double peak_uncertainty_db) {
    const auto count = static_cast<std::ptrdiff_t>(points.size());
    for (std::ptrdiff_t i = outwards > 0 ? count - 1 : 0; i >= 0 && i < count; i -= outwards) {
        if (points[static_cast<std::size_t>(i)].level_db.value < limit_db) continue;
        const std::ptrdiff_t out = i + outwards;
        if (out < 0 || out >= count) return std::nullopt;
        return crossing(points, static_cast<std::size_t>(i), outwards, limit_db,
                        peak_uncertainty_db);
    }
    return std::nullopt;
}

void set_edges(const std::vector<ResponsePoint>& points, const Passband& band,
               double peak_uncertainty_db, BandEdge& at) {
    const double limit_db = band.peak_db - at.under_db;
    at.low_hz = edge(points, -1, limit_db, peak_uncertainty_db);
    at.high_hz = edge(points, +1, limit_db, peak_uncertainty_db);
    if (!at.low_hz || !at.high_hz) return;
    // An error of the highest point moves both edges outwards or both inwards: it adds up in the width.
    const double both_db = std::numbers::sqrt2 * peak_uncertainty_db;
    const auto low = edge(points, -1, limit_db, both_db),
               high = edge(points, +1, limit_db, both_db);
    at.width_hz = difference(*high, *low);
}

// Area by trapezoids; its error is that of the highest point, the rest evens out.
std::optional<Figure> noise_bandwidth(const std::vector<ResponsePoint>& points,
                                      const Passband& band, double peak_uncertainty_db) {
    double area = 0.0, squares = 0.0;
    const auto power = [&](const ResponsePoint& p) {
        return power_from_db(p.level_db.value - band.peak_db);
    };
    for (std::size_t i = 1; i < points.size(); ++i) {
        const double width = points[i].offset_hz - points[i - 1].offset_hz;
        const double piece = 0.5 * (power(points[i]) + power(points[i - 1])) * width;
        area += piece;
        squares += std::pow(piece * 0.2303 * points[i].level_db.uncertainty_95, 2);
    }
    // What is not seen beyond the ends must not matter. Below zero beat there is nothing to see.
    constexpr double kNearZeroBeatHz = 150.0;
    const ResponsePoint &front = points.front(), &back = points.back();
    const bool from_zero = front.offset_hz >= 0.0 && front.offset_hz < kNearZeroBeatHz;
    if ((power(front) > 0.1 && !from_zero) || power(back) > 0.1) return std::nullopt;
    // A single circuit's skirts hold the end's power times the way there.
    const double before =
        from_zero ? front.offset_hz : std::abs(front.offset_hz - band.peak_offset_hz);
    const double beyond =
        power(front) * before + power(back) * std::abs(back.offset_hz - band.peak_offset_hz);
    return Figure{
        area + 0.5 * beyond,
        0.5 * beyond + std::hypot(area * 0.2303 * peak_uncertainty_db, std::sqrt(squares))};
}

// The top of a curve of noisy points: the highest of many is too high, so a parabola through those near it.
Figure top_of(const std::vector<ResponsePoint>& points, std::size_t peak) {
    const Figure highest = points[peak].level_db;
    const double near_db = std::max(0.5, 2.0 * highest.uncertainty_95);
    std::size_t from = peak, to = peak;
    while (from > 0 && points[from - 1].level_db.value > highest.value - near_db) --from;
    while (to + 1 < points.size() && points[to + 1].level_db.value > highest.value - near_db) ++to;
    const auto count = static_cast<Eigen::Index>(to - from + 1);
    if (count < 5 || highest.uncertainty_95 < 0.02) return highest;
    const double middle = 0.5 * (points[from].offset_hz + points[to].offset_hz);
    const double half = 0.5 * (points[to].offset_hz - points[from].offset_hz);
    Eigen::MatrixXd rows(count, 3);
    Eigen::VectorXd levels(count);
    for (Eigen::Index i = 0; i < count; ++i) {
        const ResponsePoint& p = points[from + static_cast<std::size_t>(i)];
        const double x = (p.offset_hz - middle) / half;
        rows.row(i) << 1.0, x, x * x;
        levels(i) = p.level_db.value;
    }
    const Eigen::Vector3d fit = (rows.transpose() * rows).ldlt().solve(rows.transpose() * levels);
    const double at = fit(2) < 0.0 ? std::clamp(-0.5 * fit(1) / fit(2), -1.0, 1.0) : 0.0;
    const double top = fit(2) < 0.0 ? fit(0) + fit(1) * at + fit(2) * at * at : levels.mean();
    return {top, highest.uncertainty_95 * std::sqrt(3.0 / static_cast<double>(count))};
}

std::optional<Figure> level_at(const std::vector<ResponsePoint>& points, double offset_hz) {
    for (std::size_t i = 1; i < points.size(); ++i) {
        const ResponsePoint &a = points[i - 1], &b = points[i];
        // Not across zero beat.
        if (a.offset_hz > offset_hz || b.offset_hz < offset_hz || a.offset_hz * b.offset_hz < 0.0)
            continue;
        const double share = b.offset_hz > a.offset_hz
                                 ? (offset_hz - a.offset_hz) / (b.offset_hz - a.offset_hz)
                                 : 0.0;
        return Figure{a.level_db.value + share * (b.level_db.value - a.level_db.value),
                      std::max(a.level_db.uncertainty_95, b.level_db.uncertainty_95)};
    }
    return std::nullopt;
}

void compare_sides(const std::vector<ResponsePoint>& points, const PassbandConfig& config,
                   Passband& band) {
    for (const ResponsePoint& p : points) {
        if (p.offset_hz <= 0.0) continue;
        if (const auto below = level_at(points, -p.offset_hz))
            band.sides.push_back({p.offset_hz, difference(p.level_db, *below)});
    }
    const auto above = level_at(points, config.listening_hz),
               below = level_at(points, -config.listening_hz);
    if (above && below) band.side_ratio_db = difference(*above, *below);
}

void find_pulling(const std::vector<ResponsePoint>& points, Passband& band) {
    std::map<double, std::pair<const ResponsePoint*, const ResponsePoint*>> ends;
    for (const ResponsePoint& p : points) {
        if (p.generator_hz == 0.0) continue;
        auto& [weak, strong] = ends[p.generator_hz];
        if (weak == nullptr || p.generator_db < weak->generator_db) weak = &p;
        if (strong == nullptr || p.generator_db > strong->generator_db) strong = &p;
    }
    for (const auto& [hz, pair] : ends) {
        if (pair.second->generator_db - pair.first->generator_db < 6.0) continue;
        // The generator stood still: zero beat went the other way.
        band.pulling.push_back({hz, pair.first->generator_db, pair.second->generator_db,
                                pair.first->offset_hz - pair.second->offset_hz});
    }
}

}  // namespace

Result<Passband> read_passband(std::vector<ResponsePoint> points, const PassbandConfig& config) {
    if (Status s = within_range("listening_hz", config.listening_hz, 100.0, 3000.0); !s)
        return s.error();
    for (const ResponsePoint& p : points) {
        if (!std::isfinite(p.offset_hz) || !std::isfinite(p.level_db.value)) {
            return Error{ErrorCode::invalid_value, "points: one of them is no number"};
        }
    }
    Passband band;
    find_pulling(points, band);
    const auto before = points.size();
    std::erase_if(points, [](const auto& p) { return p.over_noise_db < kTrustedOverNoiseDb; });
    if (points.size() < 3) {
        return Error{
            ErrorCode::not_found,
            fmt::format("points: {} of {} stand {} dB over the noise; at least 3 are needed",
                        points.size(), before, kTrustedOverNoiseDb)};
    }
    std::sort(points.begin(), points.end(),
              [](const auto& a, const auto& b) { return a.offset_hz < b.offset_hz; });
    const auto peak = std::max_element(
        points.begin(), points.end(),
        [](const auto& a, const auto& b) { return a.level_db.value < b.level_db.value; });
    band.peak_offset_hz = peak->offset_hz;
    const Figure top = top_of(points, static_cast<std::size_t>(peak - points.begin()));
    band.peak_db = top.value;
    const double peak_uncertainty_db = top.uncertainty_95;
    band.deepest_db =
        band.peak_db - std::max(points.front().level_db.value, points.back().level_db.value);
    set_edges(points, band, peak_uncertainty_db, band.at_6_db);
    set_edges(points, band, peak_uncertainty_db, band.at_60_db);
    if (!band.at_60_db.width_hz) {
        band.remarks.push_back(
            fmt::format("the points reach {:.1f} dB under the highest one on the lesser side: no "
                        "width at 60 dB",
                        band.deepest_db));
    }
    if (!band.at_6_db.width_hz) {
        band.remarks.push_back(
            "the points do not fall by 6 dB on both sides: no width; measure farther out");
    }
    if (band.at_6_db.width_hz && band.at_60_db.width_hz) {
        const Figure &narrow = *band.at_6_db.width_hz, &wide = *band.at_60_db.width_hz;
        const double factor = wide.value / narrow.value;
        band.shape_factor =
            Figure{factor, factor * std::hypot(wide.uncertainty_95 / wide.value,
                                               narrow.uncertainty_95 / narrow.value)};
    }
    band.noise_bandwidth_hz = noise_bandwidth(points, band, peak_uncertainty_db);
    const bool both = points.front().offset_hz < 0.0 && points.back().offset_hz > 0.0;
    if (both) {
        compare_sides(points, config, band);
        if (band.at_6_db.low_hz && band.at_6_db.high_hz) {
            const Figure &low = *band.at_6_db.low_hz, &high = *band.at_6_db.high_hz;
            band.centre_hz = Figure{0.5 * (low.value + high.value),
                                    0.5 * std::hypot(low.uncertainty_95, high.uncertainty_95)};
        }
    }
    band.points = std::move(points);
    return band;
}

}  // namespace skedlark::bench
