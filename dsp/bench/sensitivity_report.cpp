// What was measured of the sensitivity, in figures and sentences.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/bench/sensitivity.h"

namespace skedlark::bench {
namespace {

constexpr double kSlopeOff = 0.15;  // from 1, beyond its uncertainty, worth telling

Measurement named(const std::string& name, const Figure& figure, const std::string& what,
                  const std::string& at = {}) {
    return {.name = name, .figure = figure, .what = what, .at = at};
}

std::string where(const std::optional<double>& mhz) {
    return mhz ? fmt::format("{:g} MHz", *mhz) : "";
}

void add_level(Report& report, const std::string& which, const Figure& dbm, const std::string& what,
               const std::string& at) {
    report.measurements.push_back(
        named("level_for_" + which + "_dbm", dbm, "level for " + what, at));
    const double microvolt = microvolt_from_dbm(dbm.value);
    report.measurements.push_back(
        named("level_for_" + which + "_microvolt",
              {microvolt, microvolt * std::log(10.0) / 20.0 * dbm.uncertainty_95}, "the same", at));
}

// What the chain's noise adds, or a remark that nothing can be said.
double chain_share_db(const Chain* chain, const ToneTrackConfig& config, double noise_power,
                      Report& report) {
    if (chain == nullptr) return 0.0;
    report.chain = chain->name;
    Band band = config.band;
    band.high_hz = std::min(band.high_hz, 0.5 * chain->sample_rate_hz);
    const auto share = noise_share_db(*chain, band, noise_power);
    if (share) return *share;
    report.remarks.push_back(
        "More than half of the noise is the measuring chain's own: the receiver is better than "
        "shown. "
        "Turn its gain up.");
    return 3.0;
}

void add_point(Report& report, const SeriesPoint& point, double generator_95_db, double share_db) {
    const std::string at = where(point.mhz);
    const std::string begin = at.empty() ? "" : at + ": ";
    const auto wide = [&](Figure figure) {
        figure.uncertainty_95 = std::hypot(figure.uncertainty_95, generator_95_db) + share_db;
        return figure;
    };
    if (point.for_10db) {
        add_level(report, "10db", wide(point.for_10db->level_dbm), "(S+N)/N of 10 dB", at);
        report.measurements.push_back(
            named("rise_db_per_db", point.for_10db->slope, "rise, dB a dB", at));
        const Figure& slope = point.for_10db->slope;
        if (std::abs(slope.value - 1.0) > kSlopeOff + slope.uncertainty_95) {
            report.remarks.push_back(
                fmt::format("{}the signal rises {:.2f} dB a dB of the generator: a linear receiver "
                            "rises 1 (a square-law "
                            "detector 2, overload or gain control less).",
                            begin, slope.value));
        }
        if (point.for_10db->scattered) {
            report.remarks.push_back(begin +
                                     "the points scatter more than their noise explains; the "
                                     "uncertainty is widened for it.");
        }
    } else {
        report.remarks.push_back(begin + "level for (S+N)/N of 10 dB: " + point.problem + ".");
    }
    if (point.for_sinad12) {
        add_level(report, "sinad_12db", wide(point.for_sinad12->level_dbm), "SINAD of 12 dB", at);
    } else if (!point.sinad_problem.empty()) {
        report.remarks.push_back(begin + "level for SINAD of 12 dB: " + point.sinad_problem + ".");
    }
}

void add_band(Report& report, const Series& series) {
    std::vector<double> levels;
    int dead = 0;
    for (const SeriesPoint& point : series.points) {
        if (point.for_10db) levels.push_back(point.for_10db->level_dbm.value);
        if (!point.dead) continue;
        ++dead;
        report.remarks.push_back(fmt::format(
            "Dead spot at {}: {}.", where(point.mhz),
            point.for_10db
                ? fmt::format("10 dB need {:.1f} dBm, over {:g} dB more than the middle of the "
                              "points",
                              point.for_10db->level_dbm.value, kDeadByDb)
                : fmt::format("10 dB are not reached at {:.1f} dBm", point.strongest_dbm)));
    }
    if (series.points.size() < 3) return;
    report.measurements.push_back(
        named("dead_spots", {static_cast<double>(dead), 0.0}, "dead spots"));
    if (levels.size() < 2) return;
    const auto [low, high] = std::minmax_element(levels.begin(), levels.end());
    report.measurements.push_back(named("spread_db", {*high - *low, 0.0}, "spread over the band"));
}

// What the level for 10 dB is read off.
Curve ratio_curve(const SeriesPoint& point) {
    const std::string at = where(point.mhz);
    Curve curve{"ratio",
                "(S+N)/N against generator level" + (at.empty() ? "" : ", " + at),
                "level_dbm",
                "ratio_db",
                {}};
    for (const SeriesStep& step : point.steps) {
        curve.rows.push_back({*step.step.dbm, step.ratio_db.value, step.ratio_db.uncertainty_95});
    }
    return thinned(std::move(curve));
}

Status add_image(Report& report, const Series& wanted, const Series& image) {
    if (wanted.points.size() != 1 || image.points.size() != 1) {
        return Error{ErrorCode::invalid_value,
                     "image: one point each is compared, the wanted one and its image"};
    }
    const SeriesPoint& point = wanted.points.front();
    const SeriesPoint& other = image.points.front();
    if (!point.for_10db)
        return Error{ErrorCode::invalid_value, "image: of the wanted signal " + point.problem};
    // The same generator, so that its own error falls out.
    if (other.for_10db) {
        report.measurements.push_back(
            named("image_db", difference(other.for_10db->level_dbm, point.for_10db->level_dbm),
                  "image, against the wanted"));
        return Done{};
    }
    if (other.gain_control) return Error{ErrorCode::invalid_value, "image: " + other.problem};
    Measurement bound =
        named("image_db", {other.strongest_dbm - point.for_10db->level_dbm.high(), 0.0},
              "image, against the wanted");
    bound.known = Known::at_least;
    const bool weak = other.steps.back().ratio_db.value < 10.0;
    if (!weak) return Error{ErrorCode::invalid_value, "image: " + other.problem};
    report.measurements.push_back(bound);
    return Done{};
}

}  // namespace

Report on_off_report(const OnOff& m, const ToneTrackConfig& config, const Chain* chain) {
    Report report;
    Figure ratio = m.ratio_db;
    ratio.uncertainty_95 += chain_share_db(chain, config, m.noise_power, report);
    report.measurements.push_back(named("s_plus_n_over_n_db", ratio, "(S+N)/N"));
    if (m.sinad_db) report.measurements.push_back(named("sinad_db", *m.sinad_db, "SINAD"));
    report.remarks.push_back(fmt::format(
        "On in {} stretch{}, {:.1f} s; off in {}, {:.1f} s; measured from {:g} to {:g} Hz.",
        m.on.size(), m.on.size() == 1 ? "" : "es", m.on_s, m.off.size(), m.off_s,
        config.band.low_hz, config.band.high_hz));
    return report;
}

Result<Report> series_report(const Series& series, const ToneTrackConfig& config,
                             const Chain* chain, double generator_95_db, const Series* image) {
    Report report;
    bool any = false;
    for (const SeriesPoint& point : series.points) any = any || point.for_10db || point.for_sinad12;
    if (!any && series.points.size() < 3)
        return Error{ErrorCode::invalid_value, series.points.front().problem};
    double noise = series.points.front().noise_power;
    for (const SeriesPoint& point : series.points) noise = std::min(noise, point.noise_power);
    const double share_db = chain_share_db(chain, config, noise, report);
    for (const SeriesPoint& point : series.points)
        add_point(report, point, generator_95_db, share_db);
    if (image != nullptr) {
        if (const Status right = add_image(report, series, *image); !right) return right.error();
    }
    add_band(report, series);
    for (const SeriesPoint& point : series.points) {
        report.curves.push_back(ratio_curve(point));
        for (const SeriesStep& step : point.steps) {
            report.remarks.push_back(fmt::format(
                "{}{:.1f} dBm: (S+N)/N {:.2f} +- {:.2f} dB{}",
                point.mhz ? where(point.mhz) + ", " : "", *step.step.dbm, step.ratio_db.value,
                step.ratio_db.uncertainty_95,
                step.sinad_db ? fmt::format(", SINAD {:.2f} +- {:.2f} dB", step.sinad_db->value,
                                            step.sinad_db->uncertainty_95)
                              : ""));
        }
    }
    return report;
}

}  // namespace skedlark::bench
