#include "dsp/fist/test_rules.h"

#include <algorithm>

namespace skedlark::fist {

namespace {
constexpr double kCountedAWord = 5.0;
}

int counted_characters(const morse::Symbol& symbol) {
    const bool letter =
        !symbol.procedure && !symbol.text.empty() &&
        ((symbol.text[0] >= 'A' && symbol.text[0] <= 'Z') || symbol.text == "\u00c9");
    return letter ? 1 : 2;
}

int counted_characters(std::span<const std::optional<morse::Symbol>> text) {
    int out = 0;
    for (const auto& symbol : text) out += symbol ? counted_characters(*symbol) : 0;
    return out;
}

int longest_solid(std::span<const std::optional<morse::Symbol>> text, std::span<const char> right) {
    int longest = 0;
    int row = 0;
    std::size_t at = 0;
    for (const auto& symbol : text) {
        if (!symbol) continue;
        row = at < right.size() && right[at] != 0 ? row + counted_characters(*symbol) : 0;
        longest = std::max(longest, row);
        ++at;
    }
    return longest;
}

double solid_minutes(int counted, double words_a_minute) {
    return words_a_minute > 0.0 ? counted / (kCountedAWord * words_a_minute) : 0.0;
}

double words_a_minute(int counted, double seconds) {
    return seconds > 0.0 ? counted / kCountedAWord / (seconds / 60.0) : 0.0;
}

int groups_of(std::span<const std::optional<morse::Symbol>> text) {
    int out = 0;
    bool inside = false;
    for (const auto& symbol : text) {
        out += symbol && !inside ? 1 : 0;
        inside = symbol.has_value();
    }
    return out;
}

}  // namespace skedlark::fist
