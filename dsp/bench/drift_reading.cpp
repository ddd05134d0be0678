#include "dsp/bench/drift_reading.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <deque>

namespace skedlark::bench {
namespace {

constexpr double kMeanS = 30.0;
constexpr double kPromptBeforeS = 20.0;
constexpr double kPromptAfterS = 10.0;
constexpr double kSettledS = 10.0;
constexpr double kLatestSettled = 0.9;

// What the noise of so many points adds to their span on the mean, both ends (Cramer's expansion of the
// greatest of n normals, from memory).
double noise_span(double sd, double points) {
    const double n = std::max(points, 3.0);
    const double root = std::sqrt(2.0 * std::log(n));
    return 2.0 * sd *
           (root - (std::log(std::log(n)) + std::log(4.0 * 3.141592653589793)) / (2.0 * root));
}

double usual_sd(const PitchCurve& curve) {
    double sum = 0.0;
    long count = 0;
    for (const CurvePoint& p : curve.points()) {
        if (p.seconds == 0) continue;
        // Least and most are of single seconds.
        sum += p.sd_hz * std::sqrt(static_cast<double>(p.seconds));
        ++count;
    }
    return count > 0 ? sum / static_cast<double>(count) : 0.0;
}

// Span of pitch in the stretch of `width` points from each point on.
std::vector<double> spans(const PitchCurve& curve, std::size_t width) {
    const auto points = curve.points();
    std::vector<double> found(points.size(), 0.0);
    std::deque<std::size_t> high, low;  // candidates for greatest and least, nearest first
    for (std::size_t k = points.size(); k-- > 0;) {
        if (points[k].seconds > 0) {
            while (!high.empty() && points[high.front()].high_hz <= points[k].high_hz)
                high.pop_front();
            while (!low.empty() && points[low.front()].low_hz >= points[k].low_hz) low.pop_front();
            high.push_front(k);
            low.push_front(k);
        }
        while (!high.empty() && high.back() >= k + width) high.pop_back();
        while (!low.empty() && low.back() >= k + width) low.pop_back();
        found[k] = high.empty() ? 0.0 : points[high.back()].high_hz - points[low.back()].low_hz;
    }
    return found;
}

std::size_t width_of(const PitchCurve& curve, double for_s) {
    return static_cast<std::size_t>(std::max(1.0, std::round(for_s / curve.step_s())));
}

// First point from which on no span is above the limit.
std::size_t first_within(const std::vector<double>& spans, double limit_hz) {
    std::size_t first = spans.size();
    while (first > 0 && spans[first - 1] <= limit_hz) --first;
    return first;
}

std::optional<Figure> step_at(const PitchCurve& curve, double at_s, double until_s) {
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Eigen::Vector3d right = Eigen::Vector3d::Zero();
    std::vector<std::pair<Eigen::Vector3d, double>> rows;
    double origin = 0.0, noise = 0.0;
    int after = 0;
    const auto points = curve.points();
    for (std::size_t i = 0; i < points.size(); ++i) {
        const double t = curve.middle_s(i) - at_s;
        // The second of the change itself holds both pitches.
        const double clear = 0.5 * curve.step_s() + 0.5;
        if (points[i].seconds == 0 || std::abs(t) < clear || t < -kPromptBeforeS ||
            t > std::min(kPromptAfterS, until_s - at_s)) {
            continue;
        }
        if (rows.empty()) origin = points[i].pitch_hz;
        if (t > 0.0) ++after;
        rows.emplace_back(Eigen::Vector3d(1.0, t, t > 0.0 ? 1.0 : 0.0),
                          points[i].pitch_hz - origin);
        normal += rows.back().first * rows.back().first.transpose();
        right += rows.back().first * rows.back().second;
        noise += points[i].sd_hz * points[i].sd_hz;
    }
    const auto count = static_cast<int>(rows.size());
    if (after < 3 || count - after < 4) return std::nullopt;
    const Eigen::Matrix3d inverse = normal.inverse();
    const Eigen::Vector3d fit = inverse * right;
    double squares = 0.0;
    for (const auto& [row, hz] : rows) squares += std::pow(hz - row.dot(fit), 2);
    const double variance = std::max(squares / (count - 3), noise / count);
    return Figure{fit(2), expanded_95(std::sqrt(variance * inverse(2, 2)))};
}

Error mark_error(const char* field, double value, const std::string& allowed) {
    return {ErrorCode::invalid_value,
            fmt::format("{}: {} s is not allowed; allowed: {}", field, value, allowed)};
}

}  // namespace

Status check_marks(const std::vector<SupplyMark>& supply, const std::vector<PowerMark>& power,
                   double length_s) {
    double last_s = 0.0;
    for (const SupplyMark& mark : supply) {
        if (!(mark.at_s >= last_s && mark.at_s <= length_s)) {
            return mark_error("supply mark", mark.at_s,
                              fmt::format("from {} s, that of the mark before, to {} s, the end",
                                          last_s, length_s));
        }
        last_s = mark.at_s;
    }
    last_s = 0.0;
    for (const PowerMark& mark : power) {
        if (!(mark.off_s >= last_s && mark.on_s > mark.off_s && mark.on_s <= length_s)) {
            return mark_error(
                "power mark", mark.off_s,
                fmt::format("off, then on again, in order of time, between {} and {} s", last_s,
                            length_s));
        }
        last_s = mark.on_s;
    }
    return Done{};
}

std::optional<Figure> mean_pitch(const PitchCurve& curve, double from_s, double to_s) {
    const auto points = curve.points();
    double sum = 0.0, squares = 0.0, noise = 0.0, origin = 0.0;
    int count = 0;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const double t = curve.middle_s(i);
        if (t < from_s || t >= to_s || points[i].seconds == 0) continue;
        if (count == 0) origin = points[i].pitch_hz;
        const double off = points[i].pitch_hz - origin;
        sum += off;
        squares += off * off;
        noise += points[i].sd_hz * points[i].sd_hz;
        ++count;
    }
    if (count == 0 || 3.0 * count * curve.step_s() < to_s - from_s) return std::nullopt;
    const double n = count;
    const double scatter = count > 1 ? std::max(0.0, squares - sum * sum / n) / (n - 1.0) : 0.0;
    return Figure{origin + sum / n, expanded_95(std::sqrt(std::max(scatter, noise / n) / n))};
}

std::optional<Figure> settled_from(const PitchCurve& curve, double within_hz, double for_s) {
    const std::size_t width = width_of(curve, for_s);
    const auto all = spans(curve, width);
    if (all.size() < width) return std::nullopt;
    const double added = noise_span(usual_sd(curve), static_cast<double>(width) * curve.step_s());
    const std::size_t late = first_within(all, within_hz);
    const std::size_t middle = first_within(all, within_hz + 0.5 * added);
    const std::size_t early = first_within(all, within_hz + added);
    if (static_cast<double>(middle) > kLatestSettled * static_cast<double>(all.size()) ||
        middle + width > all.size()) {
        return std::nullopt;
    }
    const double spread = static_cast<double>(std::max(late - middle, middle - early));
    return Figure{static_cast<double>(middle) * curve.step_s(), (spread + 1.0) * curve.step_s()};
}

Figure greatest_span(const PitchCurve& curve, double for_s, double from_s) {
    const std::size_t width = width_of(curve, for_s);
    const auto all = spans(curve, width);
    const auto from = static_cast<std::size_t>(std::max(0.0, from_s / curve.step_s()));
    double most = 0.0;
    for (std::size_t i = from; i < all.size(); ++i) most = std::max(most, all[i]);
    const double added = noise_span(usual_sd(curve), static_cast<double>(width) * curve.step_s());
    return {std::max(0.0, most - 0.5 * added), 0.5 * added + expanded_95(usual_sd(curve))};
}

std::vector<SupplyEffect> supply_effects(const PitchCurve& curve,
                                         const std::vector<SupplyMark>& marks) {
    std::vector<SupplyEffect> effects;
    for (std::size_t i = 0; i < marks.size(); ++i) {
        const double at_s = marks[i].at_s;
        const double until_s = i + 1 < marks.size() ? marks[i + 1].at_s : curve.length_s();
        SupplyEffect effect{marks[i], step_at(curve, at_s, until_s), {}};
        const auto before = mean_pitch(curve, at_s - kSettledS, at_s - 1.0);
        const auto after = mean_pitch(curve, until_s - kSettledS, until_s - 1.0);
        if (before && after && until_s - at_s > 2.0 * kSettledS)
            effect.settled_hz = difference(*after, *before);
        effects.push_back(effect);
    }
    return effects;
}

std::vector<Retrace> retraces(const PitchCurve& curve, const std::vector<PowerMark>& marks) {
    std::vector<Retrace> found;
    double on_s = 0.0;
    for (std::size_t i = 0; i < marks.size(); ++i) {
        const double end_s = i + 1 < marks.size() ? marks[i + 1].off_s : curve.length_s();
        const double after_s = std::min(marks[i].off_s - on_s, end_s - marks[i].on_s);
        const double window_s = std::min(kMeanS, 0.5 * after_s);
        const auto before = mean_pitch(curve, on_s + after_s - window_s, on_s + after_s);
        const auto again =
            mean_pitch(curve, marks[i].on_s + after_s - window_s, marks[i].on_s + after_s);
        if (before && again) found.push_back({marks[i], difference(*again, *before), after_s});
        on_s = marks[i].on_s;
    }
    return found;
}

}  // namespace skedlark::bench
