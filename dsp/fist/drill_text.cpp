#include "dsp/fist/drill_text.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "dsp/fist/test_text.h"
#include "dsp/morse/code_table.h"
#include "dsp/synth/random.h"
#include "dsp/synth/text_makers.h"

namespace skedlark::fist {

namespace {

using synth::Random;

constexpr std::string_view kLetters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
constexpr std::string_view kFigures = "0123456789";
constexpr std::string_view kCallSeries = "VWXYZ";
constexpr int kCandidates = 6;
constexpr double kPriorSent = 10.0;
constexpr double kPriorWrong = 1.0;

struct NamedKind {
    DrillKind kind;
    std::string_view name;
};
constexpr auto kKinds = std::to_array<NamedKind>({{DrillKind::groups, "groups"},
                                                  {DrillKind::plain, "plain"},
                                                  {DrillKind::calls, "calls"},
                                                  {DrillKind::figures, "figures"},
                                                  {DrillKind::procedure, "procedure"},
                                                  {DrillKind::test, "test"}});

// 1 and 2: the two calls; # a figure. Q signals by ITU-R M.1172, the rest common practice, no
// source.
constexpr auto kOnTheAir = std::to_array<std::string_view>(
    {"1 1 DE 2 2 [KN]", "1 DE 2 [KA] QTC # ? K", "2 DE 1 QTC # [KN]", "1 DE 2 QRK? K",
     "2 DE 1 QRK # QSB [BT] QRS PSE [KN]", "1 DE 2 [AS] QRX # MIN", "2 DE 1 [VE] GA [KN]",
     "1 DE 2 NR # [BT] ALL WELL [AR] K", "2 DE 1 R QSL NR # [BT] TU [SK]",
     "1 DE 2 QRM QSY UP # KHZ K", "2 DE 1 QRN RPT ALL AFTER [BT] K", "1 DE 2 QRU? [AR] K",
     "2 DE 1 QRU TU 73 [SK]", "1 DE 2 QRZ? QRL? K", "2 DE 1 QRV [VE] NR # [KN]"});

double weight_of(const DrillWeights& weights, const std::string& character) {
    const auto found = weights.find(character);
    if (found == weights.end()) return 1.0;
    return std::clamp(found->second, kLeastWeight, kMostWeight);
}

char pick(std::string_view characters, const DrillWeights& weights, Random& random) {
    double sum = 0.0;
    for (const char c : characters) sum += weight_of(weights, std::string(1, c));
    double left = random.uniform() * sum;
    for (const char c : characters) {
        left -= weight_of(weights, std::string(1, c));
        if (left < 0.0) return c;
    }
    return characters.back();
}

std::string group(std::string_view characters, const DrillWeights& weights, Random& random) {
    std::string out;
    for (int i = 0; i < 5; ++i) out += pick(characters, weights, random);
    return out;
}

std::string call(const DrillWeights& weights, Random& random) {
    std::string out = "Q";
    out += pick(kCallSeries, weights, random);
    out += pick(kLetters, weights, random);
    out += pick(kFigures, weights, random);
    return out;
}

std::string on_the_air(const DrillWeights& weights, Random& random) {
    const auto form =
        kOnTheAir[static_cast<std::size_t>(random.below(static_cast<int>(kOnTheAir.size())))];
    const std::string first = call(weights, random);
    const std::string second = call(weights, random);
    std::string out;
    // A figure of the form stands for a call only as a word; "73" does not.
    for (std::size_t i = 0; i < form.size(); ++i) {
        const bool alone =
            (i == 0 || form[i - 1] == ' ') && (i + 1 == form.size() || form[i + 1] == ' ');
        if (alone && form[i] == '1') {
            out += first;
        } else if (alone && form[i] == '2') {
            out += second;
        } else if (form[i] == '#') {
            out += pick(kFigures.substr(1), weights, random);
        } else {
            out += form[i];
        }
    }
    return out;
}

double mean_weight(const std::string& text, const DrillWeights& weights) {
    const auto symbols = morse::scoring_symbols(text);
    if (!symbols) return 0.0;
    double sum = 0.0;
    int count = 0;
    for (const std::string& symbol : *symbols) {
        if (symbol == " ") continue;
        sum += weight_of(weights, symbol);
        ++count;
    }
    return count > 0 ? sum / count : 0.0;
}

// Of some that `make` gives, the one that weighs most; with equal weights the first.
template <typename Make>
std::string heaviest(const Make& make, const DrillWeights& weights) {
    std::string best = make();
    double best_weight = mean_weight(best, weights);
    for (int i = 1; i < kCandidates; ++i) {
        std::string other = make();
        const double weight = mean_weight(other, weights);
        if (weight > best_weight + 1e-9) {
            best = std::move(other);
            best_weight = weight;
        }
    }
    return best;
}

std::string one(DrillKind kind, const DrillWeights& weights, Random& random,
                std::string_view among) {
    switch (kind) {
        case DrillKind::groups:
            return group(among.empty() ? kLetters : among, weights, random);
        case DrillKind::figures:
            return group(among.empty() ? kFigures : among, weights, random);
        case DrillKind::calls:
            return call(weights, random);
        case DrillKind::plain:
            return heaviest([&] { return synth::plain_text(1, random); }, weights);
        case DrillKind::procedure:
            return heaviest([&] { return on_the_air(weights, random); }, weights);
        case DrillKind::test:
            return std::string(kTestText);
    }
    return {};
}

}  // namespace

std::string_view name_of(DrillKind kind) {
    for (const NamedKind& named : kKinds) {
        if (named.kind == kind) return named.name;
    }
    return "";
}

std::optional<DrillKind> drill_kind_by_name(std::string_view name) {
    for (const NamedKind& named : kKinds) {
        if (named.name == name) return named.kind;
    }
    return std::nullopt;
}

std::vector<std::string> drill_kind_names() {
    std::vector<std::string> names;
    for (const NamedKind& named : kKinds) names.emplace_back(named.name);
    return names;
}

DrillWeights weights_from(const std::map<std::string, CharacterTally>& tallies) {
    DrillWeights weights;
    for (const auto& [character, tally] : tallies) {
        const double share = (tally.wrong + kPriorWrong) / (tally.sent + kPriorSent);
        weights[character] =
            std::clamp(share * kPriorSent / kPriorWrong, kLeastWeight, kMostWeight);
    }
    return weights;
}

DrillWeights weights_from(const std::map<std::string, CharacterTally>& tallies,
                          const std::vector<ConfusionPair>& pairs) {
    const DrillWeights alone = weights_from(tallies);
    DrillWeights weights = alone;
    for (const ConfusionPair& pair : pairs) {
        double& partner = weights.try_emplace(pair.typed, 1.0).first->second;
        partner = std::max(partner, weight_of(alone, pair.sent));
    }
    return weights;
}

std::vector<std::string> practice_order(const std::map<std::string, CharacterTally>& tallies) {
    std::vector<std::pair<double, std::string>> order;
    double mean_units = 0.0;
    for (const char c : std::string(kLetters) + std::string(kFigures)) {
        const morse::Symbol* symbol = morse::find_by_text(std::string(1, c));
        order.emplace_back(symbol != nullptr ? morse::units_of(symbol->elements) : 0.0,
                           std::string(1, c));
        mean_units += order.back().first / 36.0;
    }
    for (auto& [rank, character] : order) {
        const auto found = tallies.find(character);
        const CharacterTally tally = found != tallies.end() ? found->second : CharacterTally{};
        rank = (tally.wrong + kPriorWrong * rank / mean_units) / (tally.sent + kPriorSent);
    }
    std::stable_sort(order.begin(), order.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<std::string> out;
    for (auto& [rank, character] : order) out.push_back(std::move(character));
    return out;
}

Result<std::string> drill_text(DrillKind kind, int count, const DrillWeights& weights,
                               std::uint64_t seed, std::string_view among) {
    const std::string_view allowed = kind == DrillKind::figures ? kFigures : kLetters;
    for (const char c : among) {
        if (allowed.find(c) != std::string_view::npos) continue;
        return Error{ErrorCode::invalid_value,
                     fmt::format("characters: '{}'; allowed are {}", c, allowed)};
    }
    if (count < 1 || count > kMostDrillCount) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("count: {}; allowed is 1 to {}", count, kMostDrillCount)};
    }
    if (kind == DrillKind::test) count = 1;
    Random random(synth::derive_seed(seed, "drill"));
    std::string text;
    for (int i = 0; i < count; ++i) {
        if (!text.empty()) text += ' ';
        text += one(kind, weights, random, among);
    }
    return text;
}

}  // namespace skedlark::fist
