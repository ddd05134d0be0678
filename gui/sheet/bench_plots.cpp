#include "gui/sheet/bench_plots.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/bench/sheet.h"
#include "dsp/core/csv.h"
#include "gui/sheet/phrases.h"

namespace skedlark::gui {
namespace {

using bench::Curve;

void add_whiskers(PlotSeries& series, double y, double half) {
    series.low.push_back(std::isfinite(half) ? y - half : y);
    series.high.push_back(std::isfinite(half) ? y + half : y);
}

PlotSeries series_of(const Curve& curve, const std::string& name) {
    const bool few = curve.rows.size() <= 25;
    PlotSeries series{name, few ? SeriesLook::dots : SeriesLook::line, {}, {}};
    for (const bench::CurveRow& row : curve.rows) {
        series.x.push_back(row.x);
        series.y.push_back(row.y);
        add_whiskers(series, row.y, row.uncertainty_95);
    }
    return series;
}

bool is_same_plot(const Curve& a, const Curve& b) {
    return a.name == b.name && a.x_name == b.x_name && a.y_name == b.y_name;
}

std::string range_in_words(const PlotSeries& series, const std::string& unit) {
    const auto [low, high] = std::minmax_element(series.y.begin(), series.y.end());
    if (low == series.y.end()) return "nothing";
    return fmt::format("{:.4g} to {:.4g} {}", *low, *high, unit);
}

// Curves of one name and axes share a plot: points of a band, before and after.
void add_curves(std::vector<Plot>& plots, const BenchTest& test, const BenchTest* before) {
    std::vector<const Curve*> heads;
    for (const Curve& curve : test.curves) {
        const bool told = std::any_of(heads.begin(), heads.end(), [&](const Curve* head) {
            return is_same_plot(*head, curve);
        });
        if (!told) heads.push_back(&curve);
    }
    for (const Curve* head : heads) {
        Plot plot;
        plot.x.title = axis_title(head->x_name);
        plot.y.title = axis_title(head->y_name);
        const std::string unit = bench::unit_of(head->y_name);
        const auto add = [&](const BenchTest& from, const std::string& when) {
            for (const Curve& curve : from.curves) {
                if (!is_same_plot(*head, curve) || curve.rows.empty()) continue;
                std::string name = curve.what.empty() ? curve.name : curve.what;
                if (!when.empty()) name += ", " + when;
                plot.series.push_back(series_of(curve, name));
                plot.said += (plot.said.empty() ? "" : "; ") + name + ": " +
                             range_in_words(plot.series.back(), unit);
            }
        };
        const bool both =
            before != nullptr &&
            std::any_of(before->curves.begin(), before->curves.end(),
                        [&](const Curve& curve) { return is_same_plot(*head, curve); });
        add(test, both ? "after" : "");
        if (both) add(*before, "before");
        if (plot.series.empty()) continue;
        plot.title = test_in_words(test.test) + ": " +
                     (plot.series.size() == 1 ? plot.series[0].name : head->name);
        plots.push_back(std::move(plot));
    }
}

// The number that a text begins with: "100.2 Hz", "3.5 MHz".
std::optional<double> number_of(const std::string& at) {
    return csv::number(at.substr(0, at.find(' ')));
}

struct FromFigures {
    const char* name;  // of the measurement
    const char* title;
    const char* x_title;
    SeriesLook look;
};

void add_figures(std::vector<Plot>& plots, const BenchTest& test, const BenchTest* before,
                 const FromFigures& wanted) {
    Plot plot;
    plot.title = wanted.title;
    plot.x.title = wanted.x_title;
    plot.y.title = axis_title(wanted.name);
    const auto add = [&](const BenchTest& from, const char* name, double aside) {
        PlotSeries series{name, wanted.look, {}, {}};
        for (const BenchRow& row : from.rows) {
            const bench::Measurement& m = row.measured;
            const auto x = number_of(m.at);
            if (m.name != wanted.name || !x || !std::isfinite(m.figure.value)) continue;
            series.x.push_back(*x + aside);
            series.y.push_back(m.figure.value);
            add_whiskers(series, m.figure.value, m.figure.uncertainty_95);
            plot.said += fmt::format("{}{} {}: {:.4g}", plot.said.empty() ? "" : "; ", name, m.at,
                                     m.figure.value);
        }
        if (series.x.empty()) return;
        // Levels in decibels have no zero to stand bars on.
        plot.series.push_back(std::move(series));
    };
    add(test, before != nullptr ? "after" : "measured", 0.0);
    if (before != nullptr) add(*before, "before", 0.0);
    if (!plot.series.empty()) plots.push_back(std::move(plot));
}

// harmonic_2_db, harmonic_3_db ...
void add_harmonics(std::vector<Plot>& plots, const BenchTest& test, const BenchTest* before) {
    Plot plot;
    plot.title = "Harmonics against the tone";
    plot.x.title = "harmonic";
    plot.x.whole = true;
    plot.y.title = "level (dB)";
    const auto add = [&](const BenchTest& from, const char* name) {
        PlotSeries series{name, SeriesLook::dots, {}, {}};
        for (int order = 2; order <= 9; ++order) {
            const BenchRow* row = from.row(fmt::format("harmonic_{}_db", order));
            if (row == nullptr || !std::isfinite(row->measured.figure.value)) continue;
            const bench::Measurement& m = row->measured;
            series.x.push_back(order);
            series.y.push_back(m.figure.value);
            add_whiskers(series, m.figure.value,
                         m.known == bench::Known::value ? m.figure.uncertainty_95 : 0.0);
            plot.said +=
                fmt::format("{}{} {}: {}{:.1f} dB", plot.said.empty() ? "" : "; ", name, order,
                            m.known == bench::Known::at_most ? "below " : "", m.figure.value);
        }
        if (!series.x.empty()) plot.series.push_back(std::move(series));
    };
    add(test, before != nullptr ? "after" : "measured");
    if (before != nullptr) add(*before, "before");
    if (!plot.series.empty()) plots.push_back(std::move(plot));
}

void add_events(std::vector<Plot>& plots, const BenchTest& test) {
    Plot plot;
    plot.title = test_in_words(test.test) + ": events over time";
    plot.x.title = "time (s)";
    plot.y.title = "depth (dB)";
    for (const char* kind : {"dropout", "crackle"}) {
        PlotSeries series{kind, SeriesLook::dots, {}, {}};
        for (const bench::Occurrence& one : test.occurrences) {
            if (one.kind != kind || !one.depth_db) continue;
            series.x.push_back(one.at_s);
            series.y.push_back(*one.depth_db);
        }
        if (series.x.empty()) continue;
        plot.said +=
            fmt::format("{}{} of the kind {}", plot.said.empty() ? "" : "; ",
                        counted(static_cast<long>(series.x.size()), "event", "events"), kind);
        plot.series.push_back(std::move(series));
    }
    if (!plot.series.empty()) plots.push_back(std::move(plot));
}

}  // namespace

std::string axis_title(const std::string& name) {
    static const std::pair<const char*, const char*> kWords[] = {
        {"time_min", "time (min)"},
        {"offset_hz", "from zero beat (Hz)"},
        {"level_dbm", "generator (dBm)"},
        {"ratio_db", "(S+N)/N (dB)"},
        {"level_for_10db_dbm", "level for 10 dB (dBm)"},
        {"error_div", "off the chart (divisions)"}};
    for (const auto& [known, words] : kWords) {
        if (name == known) return words;
    }
    const std::string unit = bench::unit_of(name);
    // "_hz_per_s" is one unit.
    const std::size_t per = name.find("_hz_per_");
    const std::size_t cut = unit.empty()               ? name.size()
                            : per != std::string::npos ? per
                                                       : name.find_last_of('_');
    std::string words = name.substr(0, cut);
    std::replace(words.begin(), words.end(), '_', ' ');
    return unit.empty() ? words : words + " (" + unit + ")";
}

std::vector<Plot> bench_plots(const BenchTest& test, const BenchTest* before) {
    static const FromFigures kFigures[] = {
        {"line_dbfs", "Lines of the supply in the audio", "frequency (Hz)", SeriesLook::dots},
        {"am_line_percent", "Lines of the supply on the tone (AM)", "frequency (Hz)",
         SeriesLook::dots},
        {"error_div", "Errors of the dial", "MHz", SeriesLook::dots},
        {"level_for_10db_dbm", "Sensitivity over the band", "MHz", SeriesLook::dots}};
    std::vector<Plot> plots;
    add_curves(plots, test, before);
    for (const FromFigures& wanted : kFigures) add_figures(plots, test, before, wanted);
    add_harmonics(plots, test, before);
    add_events(plots, test);
    return plots;
}

}  // namespace skedlark::gui
