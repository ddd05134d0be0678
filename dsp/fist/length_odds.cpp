#include "dsp/fist/length_odds.h"

#include <algorithm>
#include <cmath>

namespace skedlark::fist {
namespace {

using morse::ElementKind;

// Speed is the mean over so much to each side. Tried 2 to 8 s on hands that wander over 20 s: 3 to
// 5 s do equally well. Moves with it: LengthOdds.WanderIsTakenOut.
constexpr double kKernelS = 4.0;
// How much a hand's speed is expected to wander, relative; the weaker the evidence the less counts.
constexpr double kExpectedWander = 0.10;
constexpr double kMostLeft = 0.5;  // a length that is off by more is a fault, no speed
constexpr double kLostGapSd = 0.2;

struct Left {
    double at_s, value, weight;
};

double clamped(double low, double value, double high) {
    return std::clamp(value, std::min(low, high), std::max(low, high));
}

double capped(double cost) { return std::clamp(cost, 0.0, kMostCost); }

MarkCost cost_of_mark(const Hand& hand, double log_length) {
    const LengthModel& dot = hand.of(ElementKind::dot);
    const LengthModel& dash = hand.of(ElementKind::dash);
    // Beyond the means a wide model's tail must not turn the order round.
    const double at = std::exp(clamped(dot.mean_log, log_length, dash.mean_log));
    const double a = dot.log_density(at);
    const double b = dash.log_density(at);
    const double best = std::max(a, b);
    return {capped(best - a), capped(best - b)};
}

GapCost cost_of_gap(const Hand& hand, double log_length) {
    const LengthModel& element = hand.of(ElementKind::element_gap);
    const LengthModel& character = hand.of(ElementKind::character_gap);
    const LengthModel& word = hand.of(ElementKind::word_gap);
    const double at = std::exp(clamped(element.mean_log, log_length, word.mean_log));
    const double a = element.log_density(at);
    double b = character.log_density(at);
    const double c = word.log_density(at);
    const double best = std::max({a, b, c});
    GapCost out;
    out.element = capped(best - a);
    out.character = capped(best - b);
    out.word = capped(best - c);
    const double two_gaps = 2.0 * std::exp(element.mean_log);
    const auto lost = [&](ElementKind kind) {
        const LengthModel model{std::log(two_gaps + std::exp(hand.of(kind).mean_log)), kLostGapSd};
        return capped(best - std::min(best, model.log_density(std::exp(log_length))));
    };
    out.lost_dot = lost(ElementKind::dot);
    out.lost_dash = lost(ElementKind::dash);
    return out;
}

}  // namespace

std::vector<double> local_slowness(const Keying& keying, const Hand& hand, const Kinds& kinds) {
    std::vector<Left> left;
    const auto add = [&](double at_s, double seconds, ElementKind kind) {
        const LengthModel& model = hand.of(kind);
        const double off = std::log(std::max(seconds, 1e-4)) - model.mean_log;
        const double spread = std::max(model.sd_log, 0.03);
        left.push_back({at_s, std::clamp(off, -kMostLeft, kMostLeft), 1.0 / (spread * spread)});
    };
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (keying.marks[i].beside_lost) continue;
        add(keying.marks[i].on_s, keying.marks[i].length_s(), kinds.marks[i]);
        if (i + 1 == keying.marks.size() || kinds.pauses[i] != 0) continue;
        if (keying.marks[i + 1].beside_lost) continue;
        add(keying.marks[i].off_s, keying.gap_s(i), kinds.gaps[i]);
    }
    std::vector<double> out;
    std::size_t from = 0;
    for (const MeasuredMark& mark : keying.marks) {
        while (from < left.size() && left[from].at_s < mark.on_s - 3.0 * kKernelS) ++from;
        double sum = 0.0;
        double weight = 1.0 / (kExpectedWander * kExpectedWander);
        for (std::size_t n = from; n < left.size() && left[n].at_s < mark.on_s + 3.0 * kKernelS;
             ++n) {
            const double x = (left[n].at_s - mark.on_s) / kKernelS;
            const double w = left[n].weight * std::exp(-0.5 * x * x);
            sum += w * left[n].value;
            weight += w;
        }
        out.push_back(sum / weight);
    }
    return out;
}

LengthOdds length_odds(const Keying& keying, const Hand& hand, const Kinds& kinds) {
    LengthOdds out;
    out.slowness = local_slowness(keying, hand, kinds);
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        // Beside missing audio a length says nothing.
        const bool lost = keying.marks[i].beside_lost;
        out.marks.push_back(
            lost ? MarkCost{}
                 : cost_of_mark(hand, std::log(std::max(keying.marks[i].length_s(), 1e-4)) -
                                          out.slowness[i]));
        if (i + 1 == keying.marks.size()) break;
        const double gap = std::max(keying.gap_s(i), 1e-4);
        const double slowness = 0.5 * (out.slowness[i] + out.slowness[i + 1]);
        out.gaps.push_back(lost || keying.marks[i + 1].beside_lost
                               ? GapCost{}
                               : cost_of_gap(hand, std::log(gap) - slowness));
        out.pauses.push_back(gap > hand.pause_s() ? 1 : 0);
    }
    return out;
}

}  // namespace skedlark::fist
