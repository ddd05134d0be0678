#include "dsp/fist/alignment.h"

#include <algorithm>
#include <cmath>

#include "dsp/fist/text_errors.h"

namespace skedlark::fist {
namespace {

using morse::ElementKind;

constexpr int kPasses = 2;
// Other hands are tried where the one found without the text leaves more wrong than this.
constexpr double kPoorShare = 0.2;
constexpr std::array kOtherUnits = {0.5, 0.7, 1.4, 2.0, 3.0};
constexpr double kPrior = 3.0;
constexpr double kLeastSd = 0.03;
constexpr double kMostSd = 0.6;

Kinds kinds_of(const LengthOdds& odds) {
    Kinds out;
    for (const MarkCost& mark : odds.marks) {
        out.marks.push_back(mark.sounds_dash() ? ElementKind::dash : ElementKind::dot);
    }
    for (std::size_t i = 0; i < odds.gaps.size(); ++i) {
        const GapCost& gap = odds.gaps[i];
        out.gaps.push_back(gap.likeliest());
        out.gap_odds.push_back(
            1.0 / (std::exp(-gap.element) + std::exp(-gap.character) + std::exp(-gap.word)));
        out.pauses.push_back(odds.pauses[i]);
    }
    return out;
}

// Kinds as the way through the text has them, and which lengths tell of the hand.
struct Told {
    Kinds kinds;
    std::vector<char> mark_counts, gap_counts;
};
Told told_by(const LengthOdds& odds, const Keying& keying, const FoundWay& way) {
    Told out;
    out.kinds = kinds_of(odds);
    out.mark_counts.assign(odds.marks.size(), 0);
    out.gap_counts.assign(odds.gaps.size(), 0);
    for (const Step& step : way.steps) {
        if (step.kind != Step::Kind::sent && step.kind != Step::Kind::wrong) continue;
        if (step.first_mark > 0) {
            out.kinds.gaps[step.first_mark - 1] = step.gap_sounds;
            out.gap_counts[step.first_mark - 1] = step.gap_sounds == step.gap_meant ? 1 : 0;
        }
        const ElementStep* before = nullptr;
        bool gone = false;
        for (const ElementStep& element : step.elements) {
            if (element.fate == ElementFate::dropped || element.fate == ElementFate::lost) {
                gone = true;
                continue;
            }
            const bool right = element.fate == ElementFate::right;
            if (right) {
                out.kinds.marks[element.mark] = element.dash ? ElementKind::dash : ElementKind::dot;
                out.mark_counts[element.mark] = 1;
            }
            if (before != nullptr && !element.split_before) {
                out.kinds.gaps[element.mark - 1] = ElementKind::element_gap;
                out.gap_counts[element.mark - 1] = gone ? 0 : 1;
            }
            before = &element;
            gone = false;
        }
    }
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        const bool lost = keying.marks[i].beside_lost;
        if (lost) out.mark_counts[i] = 0;
        if (i + 1 == keying.marks.size()) break;
        if (lost || keying.marks[i + 1].beside_lost || odds.pauses[i] != 0) out.gap_counts[i] = 0;
    }
    return out;
}

struct Sum {
    double n = 0.0, sum = 0.0, squares = 0.0;
};

// With the speed's wander taken out, as the search will use them.
Hand fitted(const Hand& start, const Keying& keying, const Told& told,
            const std::vector<double>& slowness) {
    std::array<Sum, kKinds> sums{};
    const auto add = [&](ElementKind kind, double seconds, double slow) {
        const double value = std::log(std::max(seconds, 1e-4)) - slow;
        Sum& sum = sums[index_of(kind)];
        sum.n += 1.0;
        sum.sum += value;
        sum.squares += value * value;
    };
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (told.mark_counts[i] != 0) {
            add(told.kinds.marks[i], keying.marks[i].length_s(), slowness[i]);
        }
        if (i + 1 < keying.marks.size() && told.gap_counts[i] != 0) {
            add(told.kinds.gaps[i], keying.gap_s(i), 0.5 * (slowness[i] + slowness[i + 1]));
        }
    }
    Hand out = start;
    for (std::size_t k = 0; k < static_cast<std::size_t>(kKinds); ++k) {
        const Sum& sum = sums[k];
        LengthModel& model = out.lengths[k];
        if (sum.n < 1.0) continue;
        const double mean = sum.sum / sum.n;
        const double around = std::max(0.0, sum.squares / sum.n - mean * mean);
        const double prior = model.sd_log * model.sd_log;
        model.mean_log = (sum.sum + kPrior * model.mean_log) / (sum.n + kPrior);
        model.sd_log = std::clamp(std::sqrt((sum.n * around + kPrior * prior) / (sum.n + kPrior)),
                                  kLeastSd, kMostSd);
    }
    return out;
}

struct Found {
    Hand hand;
    LengthOdds odds;
    FoundWay way;
    Told told;
    int faults = 0;  // steps that are not as they should be
};

int faults_of(const FoundWay& way, std::size_t characters) {
    int out = 0;
    for (const Step& step : way.steps) {
        bool right = step.kind == Step::Kind::sent && step.gap_meant == step.gap_sounds;
        for (const ElementStep& element : step.elements) {
            right = right && element.fate == ElementFate::right && !element.split_before;
        }
        out += right ? 0 : 1;
    }
    return out + static_cast<int>(characters - way.reached);
}

Found find_way(const Keying& keying, const Hand& start, std::span<const MeantCharacter> text) {
    Found out;
    out.hand = start;
    Kinds kinds = probable_kinds(keying, start);
    for (int pass = 0; pass < kPasses; ++pass) {
        out.odds = length_odds(keying, out.hand, kinds);
        out.way = search_text(out.odds, text);
        out.told = told_by(out.odds, keying, out.way);
        if (pass + 1 == kPasses) break;
        kinds = out.told.kinds;
        out.hand = fitted(out.hand, keying, out.told, out.odds.slowness);
    }
    out.faults = faults_of(out.way, text.size());
    return out;
}

Hand scaled(Hand hand, double by) {
    hand.unit_s *= by;
    for (LengthModel& model : hand.lengths) {
        model.mean_log += std::log(by);
        model.sd_log = std::max(model.sd_log, 0.15);
    }
    return hand;
}

}  // namespace

bool Alignment::all_right() const {
    return !stopped_early() && std::all_of(errors.begin(), errors.end(),
                                           [](const TextError& error) { return error.corrected; });
}

Result<Alignment> align(const Keying& keying, const Hand& hand,
                        std::span<const std::optional<morse::Symbol>> text) {
    const std::vector<MeantCharacter> meant = meant_characters(text);
    if (meant.empty()) {
        return Error{ErrorCode::invalid_value,
                     "text: holds no characters; at least one must be meant"};
    }
    if (keying.marks.empty()) {
        return Error{ErrorCode::not_found, "keying: no marks, nothing to align"};
    }
    Found found = find_way(keying, hand, meant);
    if (found.faults > kPoorShare * static_cast<double>(meant.size())) {
        for (const double unit : kOtherUnits) {
            Found other = find_way(keying, scaled(hand, unit), meant);
            if (other.faults < found.faults) found = std::move(other);
        }
    }
    Alignment out;
    out.hand = found.hand;
    out.sending = read_sending(keying, found.told.kinds);
    out.sending.mark_counts = found.told.mark_counts;
    out.sending.gap_counts = found.told.gap_counts;
    write_text_errors(keying, meant, found.way, found.told.kinds, out);
    return out;
}

}  // namespace skedlark::fist
