#include "gui/sheet/fist_plots.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include "gui/sheet/phrases.h"

namespace skedlark::gui {
namespace {

using fist::LengthKind;
using fist::SentLength;

struct KindWords {
    LengthKind kind;
    const char* plural;
    morse::ElementKind element;
};
constexpr std::array<KindWords, 2> kMarks = {
    {{LengthKind::dot, "dots", morse::ElementKind::dot},
     {LengthKind::dash, "dashes", morse::ElementKind::dash}}};
constexpr std::array<KindWords, 3> kGaps = {
    {{LengthKind::element_gap, "gaps in characters", morse::ElementKind::element_gap},
     {LengthKind::character_gap, "between characters", morse::ElementKind::character_gap},
     {LengthKind::word_gap, "between words", morse::ElementKind::word_gap}}};

double standard_of(const KindWords& words) { return fist::standard_units(words.element); }

double mean_units(std::span<const SentLength> lengths, LengthKind kind, double unit_s) {
    double sum = 0.0;
    int count = 0;
    for (const SentLength& one : lengths) {
        if (one.kind != kind) continue;
        sum += one.length_s / unit_s;
        ++count;
    }
    return count == 0 ? std::nan("") : sum / count;
}

void say(Plot& plot, const KindWords& words, long count, double mean) {
    if (count == 0) return;
    plot.said += fmt::format("{}{} {}, {} dots on the mean, {:g} in the standard",
                             plot.said.empty() ? "" : "; ", count, words.plural, shown(mean, 2),
                             standard_of(words));
}

Plot histogram(std::span<const SentLength> lengths, double unit_s,
               std::span<const KindWords> kinds) {
    Plot plot;
    plot.x.title = "length (dots of this hand)";
    plot.y.title = "number";
    plot.x.from = 0.0;
    plot.y.from = 0.0;
    plot.y.whole = true;
    for (const KindWords& words : kinds) {
        const auto bins = fist::histogram_of(lengths, words.kind, unit_s);
        PlotSeries series{words.plural, SeriesLook::bars, {}, {}};
        series.bar_width = bins.bin_units;
        for (std::size_t i = 0; i < bins.counts.size(); ++i) {
            if (bins.counts[i] == 0) continue;
            series.x.push_back(bins.from_units(i) + 0.5 * bins.bin_units);
            series.y.push_back(bins.counts[i]);
        }
        say(plot, words, std::accumulate(bins.counts.begin(), bins.counts.end(), 0L),
            mean_units(lengths, words.kind, unit_s));
        if (!series.x.empty()) plot.series.push_back(std::move(series));
    }
    for (const KindWords& words : kinds)
        plot.marks.push_back({standard_of(words), true, fmt::format("{:g}", standard_of(words))});
    return plot;
}

Plot over_time(std::span<const SentLength> lengths, double unit_s,
               std::span<const KindWords> kinds) {
    Plot plot;
    plot.x.title = "time (s)";
    plot.y.title = "length (dots)";
    plot.y.from = 0.0;
    for (const KindWords& words : kinds) {
        PlotSeries series{words.plural, SeriesLook::dots, {}, {}};
        for (const SentLength& one : lengths) {
            if (one.kind != words.kind) continue;
            series.x.push_back(one.at_s);
            series.y.push_back(std::min(one.length_s / unit_s, fist::kMostHistogramUnits));
        }
        say(plot, words, static_cast<long>(series.x.size()),
            mean_units(lengths, words.kind, unit_s));
        if (!series.x.empty()) plot.series.push_back(std::move(series));
        const bool there = std::any_of(plot.marks.begin(), plot.marks.end(), [&](const auto& mark) {
            return mark.at == standard_of(words);
        });
        if (!there) plot.marks.push_back({standard_of(words), false, ""});
    }
    return plot;
}

}  // namespace

Plot marks_histogram(std::span<const SentLength> lengths, double unit_s) {
    Plot plot = histogram(lengths, unit_s, kMarks);
    plot.title = "How long dots and dashes were; lines: the standard, 1 and 3 dots";
    return plot;
}

Plot gaps_histogram(std::span<const SentLength> lengths, double unit_s) {
    Plot plot = histogram(lengths, unit_s, kGaps);
    plot.title = "How long gaps were; lines: the standard, 1, 3 and 7 dots";
    return plot;
}

Plot marks_over_time(std::span<const SentLength> lengths, double unit_s) {
    Plot plot = over_time(lengths, unit_s, kMarks);
    plot.title = "Dots and dashes over time; lines: the standard, 1 and 3 dots";
    return plot;
}

Plot gaps_over_time(std::span<const SentLength> lengths, double unit_s) {
    Plot plot = over_time(lengths, unit_s, kGaps);
    plot.title = "Gaps over time; lines: the standard, 1, 3 and 7 dots";
    return plot;
}

Plot speed_over_time(std::span<const SentLength> lengths) {
    Plot plot;
    plot.title = "Speed of the characters";
    plot.x.title = "time (s)";
    plot.y.title = "words a minute";
    PlotSeries series{"speed", SeriesLook::line, {}, {}};
    double standard_units = 0.0;
    double taken_s = 0.0;
    double at_s = 0.0;
    int marks = 0;
    for (const SentLength& one : lengths) {
        if (one.kind > LengthKind::element_gap) continue;
        const bool dash = one.kind == LengthKind::dash;
        standard_units += dash ? morse::kDashUnits : morse::kDotUnits;
        taken_s += one.length_s;
        if (one.kind == LengthKind::element_gap) continue;
        at_s += one.at_s;
        if (++marks < kMarksAStretch) continue;
        series.x.push_back(at_s / marks);
        series.y.push_back(1.2 * standard_units / taken_s);
        standard_units = taken_s = at_s = 0.0;
        marks = 0;
    }
    if (!series.y.empty()) {
        const auto [low, high] = std::minmax_element(series.y.begin(), series.y.end());
        plot.said = fmt::format("between {:.1f} and {:.1f} words a minute", *low, *high);
        plot.series.push_back(std::move(series));
    }
    return plot;
}

}  // namespace skedlark::gui
