#include "dsp/fist/score.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace skedlark::fist {
namespace {

using morse::ElementKind;

constexpr double kFewestOfAKind = 3.0;
constexpr double kLeastSd = 1e-4;
constexpr double kOutlier = 0.01;

double upper_tail(double z) { return 0.5 * std::erfc(z / std::numbers::sqrt2); }

// Where the densities are equal, between the means; the mean of the means where there is no such
// place (one much wider than the other).
double boundary(double m1, double s1, double m2, double s2) {
    const double a = 1.0 / (s1 * s1) - 1.0 / (s2 * s2);
    const double b = -2.0 * (m1 / (s1 * s1) - m2 / (s2 * s2));
    const double c = m1 * m1 / (s1 * s1) - m2 * m2 / (s2 * s2) + 2.0 * std::log(s1 / s2);
    if (std::abs(a) < 1e-9) return -c / b;
    const double root = std::sqrt(std::max(0.0, b * b - 4.0 * a * c));
    for (const double t : {(-b + root) / (2.0 * a), (-b - root) / (2.0 * a)}) {
        if (t > m1 && t < m2) return t;
    }
    return 0.5 * (m1 + m2);
}

struct Sum {
    double n = 0.0, sum = 0.0, squares = 0.0, error = 0.0;
    void add(double seconds, double variance, double weight) {
        const double value = std::log(std::max(seconds, 1e-4));
        n += weight;
        sum += weight * value;
        squares += weight * value * value;
        error += weight * variance / (seconds * seconds);
    }
};

LengthModels models_of(const std::array<Sum, kKinds>& sums) {
    LengthModels out{};
    for (std::size_t k = 0; k < out.size(); ++k) {
        const Sum& one = sums[k];
        if (one.n < kFewestOfAKind) continue;
        const double mean = one.sum / one.n;
        const double around =
            (one.squares / one.n - mean * mean) * one.n / (one.n - 1.0) - one.error / one.n;
        out[k] = {mean, std::sqrt(std::max(around, kLeastSd * kLeastSd)), 1.0};
    }
    return out;
}

ScorePart part_of(std::string name, const LengthModels& hand, ElementKind a, ElementKind b,
                  double decisions) {
    const LengthModels machine = machine_models(1.0);
    ScorePart out;
    out.name = std::move(name);
    out.decisions = decisions;
    out.machine = misread_chance(machine[index_of(a)], machine[index_of(b)]);
    const bool measured = hand[index_of(a)].share > 0.0 && hand[index_of(b)].share > 0.0;
    out.misread = measured ? misread_chance(hand[index_of(a)], hand[index_of(b)]) : out.machine;
    out.kept = std::min(1.0, std::pow((1.0 - out.misread) / (1.0 - out.machine), decisions));
    return out;
}

}  // namespace

double misread_chance(const LengthModel& short_one, const LengthModel& long_one,
                      double listener_sd) {
    const double m1 = short_one.mean_log;
    const double m2 = long_one.mean_log;
    if (m2 <= m1) return 0.5;
    const double s1 = std::hypot(short_one.sd_log, listener_sd);
    const double s2 = std::hypot(long_one.sd_log, listener_sd);
    const double t = boundary(m1, s1, m2, s2);
    return 0.5 * (upper_tail((t - m1) / s1) + upper_tail((m2 - t) / s2));
}

LengthModels machine_models(double unit_s) {
    LengthModels out{};
    for (int k = 0; k < kKinds; ++k) {
        out[static_cast<std::size_t>(k)] = {
            std::log(unit_s * standard_units(static_cast<ElementKind>(k))), 0.0, 1.0};
    }
    return out;
}

LengthModels measured_models(const Keying& keying, const Sending& sending) {
    std::array<Sum, kKinds> sums{};
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (sending.mark_counts[i] != 0) {
            sums[index_of(sending.kinds.marks[i])].add(keying.marks[i].length_s(),
                                                       keying.marks[i].length_variance(), 1.0);
        }
        if (i + 1 < keying.marks.size() && sending.gap_counts[i] != 0) {
            sums[index_of(sending.kinds.gaps[i])].add(keying.gap_s(i), keying.gap_variance(i), 1.0);
        }
    }
    return models_of(sums);
}

LengthModels measured_models(const Keying& keying, const Hand& hand) {
    std::array<Sum, kKinds> sums{};
    const auto share_out = [&](double seconds, double variance,
                               std::initializer_list<ElementKind> kinds) {
        double total = kOutlier;
        for (const ElementKind kind : kinds) {
            total += hand.of(kind).share * std::exp(hand.of(kind).log_density(seconds));
        }
        for (const ElementKind kind : kinds) {
            const double odds =
                hand.of(kind).share * std::exp(hand.of(kind).log_density(seconds)) / total;
            sums[index_of(kind)].add(seconds, variance, odds);
        }
    };
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (keying.marks[i].beside_lost) continue;
        share_out(std::max(1e-4, keying.marks[i].length_s()), keying.marks[i].length_variance(),
                  {ElementKind::dot, ElementKind::dash});
        if (i + 1 == keying.marks.size() || keying.marks[i + 1].beside_lost) continue;
        const double gap = std::max(1e-4, keying.gap_s(i));
        if (gap > hand.pause_s()) continue;
        share_out(gap, keying.gap_variance(i),
                  {ElementKind::element_gap, ElementKind::character_gap, ElementKind::word_gap});
    }
    return models_of(sums);
}

Score score_of(const LengthModels& models, double readable) {
    Score out;
    out.parts.push_back(
        part_of("dots and dashes", models, ElementKind::dot, ElementKind::dash, kMarksOfALetter));
    out.parts.push_back(part_of("gaps in and between characters", models, ElementKind::element_gap,
                                ElementKind::character_gap, kMarksOfALetter));
    out.parts.push_back(part_of("gaps between words", models, ElementKind::character_gap,
                                ElementKind::word_gap, 1.0));
    ScorePart text;
    text.name = "characters";
    text.kept = std::clamp(readable, 0.0, 1.0);
    text.misread = 1.0 - text.kept;
    out.parts.push_back(text);
    out.total = 100.0;
    for (const ScorePart& part : out.parts) out.total *= part.kept;
    return out;
}

}  // namespace skedlark::fist
