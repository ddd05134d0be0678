#include "dsp/dial/correction.h"

#include <fmt/format.h>

#include <cmath>
#include <optional>

namespace skedlark::dial {
namespace {

constexpr double kPriceOfStretch = 6.63;
constexpr double kPriceOfLeavingOut = 10.83;
constexpr double kMaxOffsetShare = 0.25;  // of the dial
constexpr double kMaxStretch = 0.2;

// A station against the chart: how far from the middle, how far off.
struct Point {
    double from_centre = 0.0;
    double off = 0.0;
    bool used = true;
};

struct Line {
    double offset = 0.0;
    double stretch = 0.0;
    double offset_variance = 0.0;
    double stretch_variance = 0.0;
    double covariance = 0.0;
    double squares = 0.0;  // weighted

    [[nodiscard]] double residual(const Point& p) const {
        return p.off - offset - stretch * p.from_centre;
    }
    [[nodiscard]] double variance(double from_centre) const {
        return offset_variance + 2.0 * from_centre * covariance +
               from_centre * from_centre * stretch_variance;
    }
};

struct Model {
    Line line{};
    std::vector<Point> points{};
    bool has_stretch = false;
    std::size_t used = 0;
    double cost = 0.0;
};

// Weighted least squares over the points in use, all of standard deviation sd; nothing where a
// stretch is asked of stations that stand at one place.
std::optional<Line> fit_line(const std::vector<Point>& points, double sd, bool with_stretch) {
    const double weight = 1.0 / (sd * sd);
    double count = 0.0, mean_place = 0.0, mean_off = 0.0;
    for (const Point& p : points) {
        if (!p.used) continue;
        count += 1.0;
        mean_place += p.from_centre;
        mean_off += p.off;
    }
    mean_place /= count;
    mean_off /= count;
    Line line;
    line.offset = mean_off;
    line.offset_variance = 1.0 / (count * weight);
    if (with_stretch) {
        double places = 0.0, products = 0.0;
        for (const Point& p : points) {
            if (!p.used) continue;
            places += weight * (p.from_centre - mean_place) * (p.from_centre - mean_place);
            products += weight * (p.from_centre - mean_place) * p.off;
        }
        // A division apart at least: closer stations say nothing about a stretch.
        if (!(places > weight)) return std::nullopt;
        line.stretch = products / places;
        line.stretch_variance = 1.0 / places;
        line.offset -= line.stretch * mean_place;
        line.offset_variance += mean_place * mean_place / places;
        line.covariance = -mean_place / places;
    }
    for (const Point& p : points) {
        if (p.used) line.squares += weight * line.residual(p) * line.residual(p);
    }
    return line;
}

// A residual in its own standard deviations. Those of a station in use are smaller, for it drew the
// line towards itself.
double sds_of(const Line& line, const Point& p, double sd) {
    const double drawn = line.variance(p.from_centre);
    const double variance = p.used ? sd * sd - drawn : sd * sd + drawn;
    return variance > 1e-9 * sd * sd ? line.residual(p) / std::sqrt(variance) : 0.0;
}

std::size_t worst(const Model& model, double sd) {
    std::size_t place = 0;
    double most = -1.0;
    for (std::size_t i = 0; i < model.points.size(); ++i) {
        const double sds = std::abs(sds_of(model.line, model.points[i], sd));
        if (model.points[i].used && sds > most) {
            most = sds;
            place = i;
        }
    }
    return place;
}

// The cheapest with or without a stretch, with none or some stations left out, worst first.
Model best_model(const std::vector<Point>& points, double sd) {
    std::optional<Model> best;
    for (const bool with_stretch : {false, true}) {
        Model model{{}, points, with_stretch, points.size(), 0.0};
        const std::size_t parameters = with_stretch ? 2 : 1;
        const std::size_t may_go = (points.size() - 1) / 2;
        for (std::size_t gone = 0; gone <= may_go; ++gone) {
            // Left out is only what others gainsay: one more than the line needs must stay.
            if (model.used < parameters + (gone > 0 ? 1 : 0)) break;
            const std::optional<Line> line = fit_line(model.points, sd, with_stretch);
            if (!line) break;
            model.line = *line;
            model.cost = line->squares + (with_stretch ? kPriceOfStretch : 0.0) +
                         kPriceOfLeavingOut * static_cast<double>(gone);
            if (!best || model.cost < best->cost) best = model;
            model.points[worst(model, sd)].used = false;
            --model.used;
        }
    }
    return *best;
}

Error wrong(const KnownStation& known, const std::string& why) {
    return {ErrorCode::invalid_value,
            fmt::format("known station {} MHz at division {}: {}", known.mhz, known.div, why)};
}

Status check_known(const Receiver& receiver, const BandChart& chart, const KnownStation& known,
                   double chart_div) {
    if (!std::isfinite(chart_div) ||
        !(known.mhz >= chart.low_mhz() && known.mhz <= chart.high_mhz())) {
        return wrong(known, fmt::format("the frequency lies outside the chart, {} to {} MHz",
                                        chart.low_mhz(), chart.high_mhz()));
    }
    if (!(known.div >= receiver.from_div && known.div <= receiver.to_div)) {
        return wrong(known, fmt::format("the division lies outside the dial, {} to {}",
                                        receiver.from_div, receiver.to_div));
    }
    const double most = kMaxOffsetShare * (receiver.to_div - receiver.from_div);
    if (std::abs(known.div - chart_div) > most) {
        return wrong(known,
                     fmt::format("the chart has it at {:.2f}; allowed: within {:.4g} divisions",
                                 chart_div, most));
    }
    return Done{};
}

Correction correction_of(const Model& model, double centre_div) {
    Correction made;
    made.centre_div = centre_div;
    made.offset_div = model.line.offset;
    made.stretch = model.line.stretch;
    made.offset_variance = model.line.offset_variance;
    made.stretch_variance = model.line.stretch_variance;
    made.covariance = model.line.covariance;
    made.has_stretch = model.has_stretch;
    made.checked = model.points.size() >= (model.has_stretch ? 4U : 3U);
    return made;
}

}  // namespace

Result<Correction> fit_correction(const Receiver& receiver, const BandChart& chart,
                                  std::span<const KnownStation> known) {
    const double centre_div = 0.5 * (chart.low_div() + chart.high_div());
    if (known.empty()) {
        Correction none;
        none.centre_div = centre_div;
        return none;
    }
    const double sd = std::hypot(receiver.reading_sd_div, chart.chart_sd_div());
    std::vector<Point> points;
    std::vector<double> chart_divs;
    for (const KnownStation& station : known) {
        const double chart_div =
            chart.div_at(station.mhz - 1e-6 * receiver.beat.zero_beat_offset_hz);
        if (Status s = check_known(receiver, chart, station, chart_div); !s) return s.error();
        chart_divs.push_back(chart_div);
        points.push_back({chart_div - centre_div, station.div - chart_div, true});
    }
    const Model model = best_model(points, sd);
    if (std::abs(model.line.stretch) > kMaxStretch) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("known stations: together they stretch the dial by {:.0f} %; "
                                 "allowed: {:.0f} %; one of them is another station",
                                 100.0 * model.line.stretch, 100.0 * kMaxStretch)};
    }
    Correction correction = correction_of(model, centre_div);
    for (std::size_t i = 0; i < known.size(); ++i) {
        correction.stations.push_back(
            {known[i], chart_divs[i], model.line.residual(model.points[i]),
             sds_of(model.line, model.points[i], sd), model.points[i].used});
    }
    return correction;
}

}  // namespace skedlark::dial
