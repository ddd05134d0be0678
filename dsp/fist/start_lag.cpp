#include "dsp/fist/start_lag.h"

#include <algorithm>
#include <cmath>

namespace skedlark::fist {
namespace {

using morse::ElementKind;

struct Pair {
    double n = 0.0, x = 0.0, y = 0.0, xy = 0.0, products = 0.0;
    void add(double a, double b) {
        n += 1.0;
        x += a;
        y += b;
        xy += a * b;
        products += a * b * a * b;
    }
    [[nodiscard]] double covariance() const { return n > 0.0 ? xy / n - x / n * (y / n) : 0.0; }
    [[nodiscard]] double error() const {
        return n > 2.0 ? std::sqrt(std::max(0.0, products / n - xy / n * (xy / n)) / n) : 1e30;
    }
};

double mean_of(const Statistics& s, ElementKind kind) { return s.of(kind).mean_s; }

// Variance that marks of one kind share with the gap before them and not with the one after.
struct Tied {
    double variance = 0.0;
    double error = 0.0;  // 0: too few
};
Tied tied_to_gaps(const Keying& keying, const Sending& sending, const Statistics& statistics,
                  ElementKind kind) {
    const double gap_s = mean_of(statistics, ElementKind::element_gap);
    const double mark_s = mean_of(statistics, kind);
    Pair before, after;
    double measuring = 0.0;
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (sending.mark_counts[i] == 0 || sending.kinds.marks[i] != kind) continue;
        const MeasuredMark& mark = keying.marks[i];
        const auto pair = [&](std::size_t gap, Pair& with) {
            if (sending.gap_counts[gap] == 0 ||
                sending.kinds.gaps[gap] != ElementKind::element_gap) {
                return false;
            }
            with.add(mark.length_s() - mark_s, keying.gap_s(gap) - gap_s);
            return true;
        };
        if (i > 0 && pair(i - 1, before)) measuring += mark.on_sd_s * mark.on_sd_s;
        if (i + 1 < keying.marks.size() && pair(i, after)) {
            measuring -= mark.off_sd_s * mark.off_sd_s;
        }
    }
    if (before.n < 8.0 || after.n < 8.0) return {};
    // A wander of the speed ties a mark to both its gaps alike, the edges' own errors too.
    return {after.covariance() - before.covariance() - measuring / before.n,
            std::hypot(before.error(), after.error())};
}

}  // namespace

StartLag start_lag(const Keying& keying, const Sending& sending, const Statistics& statistics,
                   const Alignment* alignment) {
    StartLag out;
    const double dot_s = mean_of(statistics, ElementKind::dot);
    const double gap_s = mean_of(statistics, ElementKind::element_gap);
    if (!std::isfinite(dot_s) || !std::isfinite(gap_s)) return out;
    out.mean_s = 0.5 * (gap_s - dot_s);
    // Dots and dashes apart, each with its own weight: a dash spreads more.
    double weights = 0.0, weighed = 0.0;
    for (const ElementKind kind : {ElementKind::dot, ElementKind::dash}) {
        const Tied tied = tied_to_gaps(keying, sending, statistics, kind);
        if (!(tied.error > 0.0)) continue;
        weights += 1.0 / (tied.error * tied.error);
        weighed += tied.variance / (tied.error * tied.error);
    }
    if (weights <= 0.0) return out;
    const double variance = weighed / weights;
    out.sd_s = std::sqrt(std::max(0.0, variance));
    out.over_error = variance * std::sqrt(weights);
    if (alignment != nullptr && alignment->dots_meant > 0) {
        out.dots_lost = static_cast<double>(alignment->dots_gone) / alignment->dots_meant;
    }
    return out;
}

}  // namespace skedlark::fist
