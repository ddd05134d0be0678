#include "dsp/copy/text_knowledge.h"

#include <algorithm>

namespace skedlark::copy {
namespace {

// Text that is not of the kind expected: calls, preamble, procedure.
constexpr double kAnyText = 0.1;
constexpr int kGroup = 5;
// A group that is shorter or longer than it should be.
constexpr double kWrongLength = 0.01;
// A group of letters with a figure in it, or the other way round, for each character.
constexpr double kMixedGroup = 0.05;
constexpr double kFigures = 10.0;
constexpr double kLetters = 26.0;

bool is_figure(int symbol) { return symbol == LanguageTable::kFigure; }

}  // namespace

void TextKnowledge::Following::add(int symbol, bool figure) {
    symbols_ = {symbol, symbols_[0], symbols_[1]};
    ++in_group_;
    after_sign_ = false;
    class_known_ = true;
    figures_ = figure;
}

void TextKnowledge::Following::add_gap() {
    symbols_ = {LanguageTable::kGap, symbols_[0], symbols_[1]};
    in_group_ = 0;
    gap_seen_ = true;
    after_sign_ = false;
    class_known_ = false;
}

void TextKnowledge::Following::add_unknown() {
    symbols_.fill(LanguageTable::kUnknown);
    ++in_group_;
}

TextKnowledge::TextKnowledge(TextKind kind, const CodeTree& tree, double gap_odds)
    : kind_(kind), gap_odds_(gap_odds) {
    std::array<double, kNodeStride> reach{1.0};
    for (int node = 0; node < tree.size; ++node) {
        if (node > 0) {
            const int parent = tree.parent[node];
            reach[node] =
                reach[parent] * static_cast<double>(tree.by_dash[node] ? tree.dash_odds[parent]
                                                                       : tree.dot_odds[parent]);
        }
        Character& character = characters_[node];
        character.odds = reach[node] * static_cast<double>(tree.end_odds[node]);
        const CodeTree::Reading& reading = tree.reading[node];
        if (reading.procedure || reading.text.size() != 1) {
            signs_ += character.odds;
            continue;
        }
        const char c = reading.text.front();
        if (c >= 'A' && c <= 'Z') {
            character.symbol = c - 'A' + 1;
        } else if (c >= '0' && c <= '9') {
            character.symbol = LanguageTable::kFigure;
        } else {
            signs_ += character.odds;
        }
    }
}

void TextKnowledge::add(Following& following, int node) const {
    const int symbol = characters_[node].symbol;
    // A sign ends a word as a gap does, as far as letters are concerned.
    if (symbol == LanguageTable::kUnknown) {
        following.add_gap();
        following.after_sign_ = true;
    } else {
        following.add(symbol, is_figure(symbol));
    }
}

double TextKnowledge::known_gap(const Following& following) const {
    if (following.after_sign_) return gap_odds_;
    if (kind_ == TextKind::plain) {
        const auto& f = following.symbols_;
        return LanguageTable::plain_english().odds(LanguageTable::kGap, f[0], f[1], f[2]);
    }
    const int letters = following.in_group_;
    if (following.gap_seen_) return letters == kGroup ? 1.0 - kWrongLength : kWrongLength;
    // The end of the group is not seen: any place within it is as likely.
    return letters > kGroup ? kWrongLength : 1.0 / (kGroup + 1.0 - std::min(letters, kGroup - 1));
}

double TextKnowledge::gap(const Following& following) const {
    return kAnyText * gap_odds_ + (1.0 - kAnyText) * known_gap(following);
}

double TextKnowledge::character_ratio(const Following& following, int node) const {
    const Character& character = characters_[node];
    if (character.symbol == LanguageTable::kUnknown || character.odds <= 0.0) return 1.0;
    const bool figure = is_figure(character.symbol);
    double known = 0.0;
    if (kind_ == TextKind::plain) {
        const auto& f = following.symbols_;
        const LanguageTable& table = LanguageTable::plain_english();
        known = table.odds(character.symbol, f[0], f[1], f[2]) /
                (1.0 - table.odds(LanguageTable::kGap, f[0], f[1], f[2]));
        if (figure) known /= kFigures;
    } else if (following.class_known_) {
        const double share = figure == following.figures_ ? 1.0 - kMixedGroup : kMixedGroup;
        known = share / (figure ? kFigures : kLetters);
    } else {
        return 1.0;
    }
    // Signs are as likely as ever; the rest shares what they leave.
    return kAnyText + (1.0 - kAnyText) * known * (1.0 - signs_) / character.odds;
}

}  // namespace skedlark::copy
