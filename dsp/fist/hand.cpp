#include "dsp/fist/hand.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace skedlark::fist {
namespace {

using morse::ElementKind;

// Shares and widths the search expects. Widths are those of everyday hands; wider ones let a wrong
// unit pass (twice or a third of the true one).
struct Expected {
    double share;
    double sd_log;
};
constexpr std::array<Expected, kKinds> kExpected = {
    {{0.55, 0.18}, {0.45, 0.18}, {0.62, 0.22}, {0.30, 0.28}, {0.08, 0.32}}};
constexpr double kOutlier = 0.01;  // of any length, density over the logarithm
constexpr double kSlowestUnitS = 1.2 / kMinSpeedWpm * 1.3;
constexpr double kFastestUnitS = 1.2 / kMaxSpeedWpm / 1.3;
constexpr double kUnitStep = 1.05;
constexpr double kKnownWithin = 4.0 / 3.0;
constexpr double kLagStep = 0.15;
// Spacing may be stretched for learners, to some five times the standard (13/5 has 4.8).
constexpr std::array kStretches = {0.7, 1.0, 1.4, 2.0, 2.8, 4.0, 5.5};
constexpr double kStretchCost = 0.1;  // of its logarithm, a mark
// The search looks at no more than so many marks, from all parts of the message.
constexpr std::size_t kSearchMarks = 300;
// A lag is believed only where it explains the lengths better by this, in natural logarithms a mark
// and unit of lag.
constexpr double kLagCost = 0.25;
constexpr int kEmPasses = 12;
constexpr double kLeastSd = 0.02;
constexpr double kMostSd = 0.8;

constexpr std::array kMarkKinds = {ElementKind::dot, ElementKind::dash};
constexpr std::array kGapKinds = {ElementKind::element_gap, ElementKind::character_gap,
                                  ElementKind::word_gap};

double log_normal_density(double log_length, double mean_log, double sd_log) {
    const double x = (log_length - mean_log) / sd_log;
    return -0.5 * x * x - std::log(sd_log * std::sqrt(2.0 * std::numbers::pi));
}

struct Lengths {
    std::vector<double> marks, gaps;
};

// Pauses tell nothing of a hand; nor do marks beside missing audio.
Lengths lengths_of(const Keying& keying) {
    Lengths out;
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (keying.marks[i].beside_lost) continue;
        out.marks.push_back(keying.marks[i].length_s());
        if (i + 1 < keying.marks.size() && !keying.marks[i + 1].beside_lost) {
            out.gaps.push_back(std::max(keying.gap_s(i), 1e-4));
        }
    }
    return out;
}

Hand standard_hand(double unit_s, double lag_s, double stretch) {
    Hand hand;
    hand.unit_s = unit_s;
    hand.lag_s = lag_s;
    hand.stretch = stretch;
    for (int k = 0; k < kKinds; ++k) {
        const auto kind = static_cast<ElementKind>(k);
        auto& model = hand.lengths[static_cast<std::size_t>(k)];
        model.mean_log = std::log(unit_s * standard_units(kind));
        if (kind == ElementKind::character_gap || kind == ElementKind::word_gap) {
            model.mean_log += std::log(stretch);
        }
        model.sd_log = kExpected[static_cast<std::size_t>(k)].sd_log;
        model.share = kExpected[static_cast<std::size_t>(k)].share;
    }
    return hand;
}

// The same with what does not change from length to length worked out once.
template <std::size_t kCount>
class Mixture {
 public:
    Mixture(const Hand& hand, const std::array<ElementKind, kCount>& kinds) {
        for (std::size_t i = 0; i < kCount; ++i) {
            const LengthModel& model = hand.of(kinds[i]);
            parts_[i] = {model.mean_log, 1.0 / model.sd_log,
                         model.share / (model.sd_log * std::sqrt(2.0 * std::numbers::pi))};
        }
    }
    [[nodiscard]] double density(double seconds) const {
        const double length = std::log(seconds);
        double sum = kOutlier;
        for (const Part& part : parts_) {
            const double x = (length - part.mean) * part.per_sd;
            sum += part.scale * std::exp(-0.5 * x * x);
        }
        return sum;
    }

 private:
    struct Part {
        double mean, per_sd, scale;
    };
    std::array<Part, kCount> parts_{};
};

// Sum of logarithms as the logarithm of a product, taken before it leaves the range of a double.
class LogProduct {
 public:
    void multiply(double factor) {
        product_ *= factor;
        if (product_ < 1e-200 || product_ > 1e200) take();
    }
    [[nodiscard]] double sum() {
        take();
        return sum_;
    }

 private:
    void take() {
        sum_ += std::log(product_);
        product_ = 1.0;
    }
    double product_ = 1.0;
    double sum_ = 0.0;
};

double score_of(const Lengths& lengths, const Hand& hand) {
    const double least = 0.05 * hand.unit_s;
    const Mixture marks(hand, kMarkKinds);
    const Mixture gaps(hand, kGapKinds);
    const double pause_s = hand.pause_s();
    LogProduct product;
    for (const double mark : lengths.marks) {
        product.multiply(marks.density(std::max(least, mark + hand.lag_s)));
    }
    for (const double gap : lengths.gaps) {
        product.multiply(gap > pause_s ? kOutlier
                                       : gaps.density(std::max(least, gap - hand.lag_s)));
    }
    const double sum = product.sum();
    const double cost = kLagCost * std::abs(hand.lag_s / hand.unit_s) +
                        kStretchCost * std::abs(std::log(hand.stretch));
    return sum - cost * static_cast<double>(lengths.marks.size());
}

// Runs of neighbouring lengths out of all parts.
std::vector<double> thinned(const std::vector<double>& all) {
    constexpr std::size_t kRun = 10;
    const std::size_t keep_one_of = 1 + (all.size() - 1) / kSearchMarks;
    std::vector<double> out;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (i / kRun % keep_one_of == 0) out.push_back(all[i]);
    }
    return out;
}

// Slowest and fastest unit that is looked at.
struct Units {
    double from_s = kFastestUnitS;
    double to_s = kSlowestUnitS;
};

Hand search(const Lengths& lengths, const Units& units) {
    const Lengths few{thinned(lengths.marks), thinned(lengths.gaps)};
    Hand best;
    double best_score = -std::numeric_limits<double>::infinity();
    for (double unit = units.from_s; unit < units.to_s; unit *= kUnitStep) {
        for (int lag = -2; lag <= 6; ++lag) {
            for (const double stretch : kStretches) {
                const Hand hand = standard_hand(unit, kLagStep * lag * unit, stretch);
                const double score = score_of(few, hand);
                if (score > best_score) {
                    best_score = score;
                    best = hand;
                }
            }
        }
    }
    return best;
}

struct Moments {
    double weight = 0.0, sum = 0.0, squares = 0.0;
    void add(double value, double w) {
        weight += w;
        sum += w * value;
        squares += w * value * value;
    }
};

template <typename KindsList>
void expect(const Hand& hand, const KindsList& kinds, double seconds,
            std::array<Moments, kKinds>& moments) {
    std::array<double, kKinds> odds{};
    double total = kOutlier;
    for (const ElementKind kind : kinds) {
        odds[index_of(kind)] = hand.of(kind).share * std::exp(hand.of(kind).log_density(seconds));
        total += odds[index_of(kind)];
    }
    for (const ElementKind kind : kinds) {
        moments[index_of(kind)].add(std::log(seconds), odds[index_of(kind)] / total);
    }
}

// Means may leave what the search found, but not their order: a kind that has hardly any of its own
// stays where it was.
void maximise(const Hand& start, Hand& hand, const std::array<Moments, kKinds>& moments) {
    constexpr double kPrior = 3.0;
    double marks = 0.0;
    double gaps = 0.0;
    for (int k = 0; k < kKinds; ++k) {
        const double weight = moments[static_cast<std::size_t>(k)].weight;
        (k < 2 ? marks : gaps) += weight;
    }
    for (int k = 0; k < kKinds; ++k) {
        const auto i = static_cast<std::size_t>(k);
        const LengthModel& first = start.lengths[i];
        const Moments& m = moments[i];
        LengthModel& model = hand.lengths[i];
        model.mean_log = (m.sum + kPrior * first.mean_log) / (m.weight + kPrior);
        const double middle = m.weight > 0.0 ? m.sum / m.weight : 0.0;
        const double around = m.weight > 0.0 ? m.squares / m.weight - middle * middle : 0.0;
        const double variance =
            (m.weight * std::max(0.0, around) + kPrior * first.sd_log * first.sd_log) /
            (m.weight + kPrior);
        model.sd_log = std::clamp(std::sqrt(variance), kLeastSd, kMostSd);
        const double of = k < 2 ? marks : gaps;
        model.share = (m.weight + kPrior * kExpected[i].share) / (of + kPrior);
    }
}

}  // namespace

double LengthModel::log_density(double seconds) const {
    return log_normal_density(std::log(std::max(seconds, 1e-5)), mean_log, sd_log);
}

Result<Hand> find_hand(const Keying& keying, std::optional<double> speed_wpm) {
    const Lengths lengths = lengths_of(keying);
    if (lengths.marks.size() < static_cast<std::size_t>(kFewestMarks)) {
        return Error{ErrorCode::not_found, "keying: " + std::to_string(lengths.marks.size()) +
                                               " marks, too few to tell a hand; at least " +
                                               std::to_string(kFewestMarks) + " are needed"};
    }
    Units units;
    if (speed_wpm) units = {1.2 / *speed_wpm / kKnownWithin, 1.2 / *speed_wpm * kKnownWithin};
    Hand hand = search(lengths, units);
    // From here on the lengths stand as they are: the lag goes into the means.
    for (int k = 0; k < kKinds; ++k) {
        const auto kind = static_cast<ElementKind>(k);
        const double lag_s = morse::is_mark(kind) ? -hand.lag_s : hand.lag_s;
        double& mean_log = hand.lengths[static_cast<std::size_t>(k)].mean_log;
        mean_log = std::log(std::max(0.1 * hand.unit_s, std::exp(mean_log) + lag_s));
    }
    const Hand start = hand;
    for (int pass = 0; pass < kEmPasses; ++pass) {
        std::array<Moments, kKinds> moments{};
        for (const double mark : lengths.marks) expect(hand, kMarkKinds, mark, moments);
        for (const double gap : lengths.gaps) {
            if (gap < hand.pause_s()) expect(hand, kGapKinds, gap, moments);
        }
        maximise(start, hand, moments);
    }
    return hand;
}

Kinds probable_kinds(const Keying& keying, const Hand& hand) {
    Kinds out;
    const auto odds_of = [&](ElementKind kind, double seconds) {
        return hand.of(kind).share * std::exp(hand.of(kind).log_density(seconds));
    };
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        const double mark = keying.marks[i].length_s();
        // A wide hand's tail must not turn the order round: what is shorter than a mean dot is a
        // dot, and so on.
        const bool dot = std::log(mark) < hand.of(ElementKind::dot).mean_log ||
                         (std::log(mark) < hand.of(ElementKind::dash).mean_log &&
                          odds_of(ElementKind::dot, mark) > odds_of(ElementKind::dash, mark));
        out.marks.push_back(dot ? ElementKind::dot : ElementKind::dash);
        if (i + 1 == keying.marks.size()) break;
        const double gap = std::max(keying.gap_s(i), 1e-4);
        const double log_gap = std::log(gap);
        std::array<double, 3> odds{};
        double total = 1e-300;
        for (std::size_t k = 0; k < kGapKinds.size(); ++k) {
            odds[k] = odds_of(kGapKinds[k], gap);
            total += odds[k];
        }
        std::size_t best = 0;
        for (std::size_t k = 1; k < 3; ++k) {
            if (odds[k] > odds[best]) best = k;
        }
        if (log_gap < hand.of(ElementKind::element_gap).mean_log) best = 0;
        if (log_gap > hand.of(ElementKind::word_gap).mean_log) best = 2;
        out.gaps.push_back(kGapKinds[best]);
        out.gap_odds.push_back(std::min(1.0, odds[best] / total));
        out.pauses.push_back(gap > hand.pause_s() ? 1 : 0);
    }
    return out;
}

}  // namespace skedlark::fist
