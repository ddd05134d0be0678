#include "dsp/copy/language_table.h"

#include <algorithm>
#include <array>
#include <cassert>
#include <charconv>

#include "dsp/copy/plain_language.h"

namespace skedlark::copy {
namespace {

using Counts = std::array<double, LanguageTable::kSymbols>;
using Odds = std::array<double, LanguageTable::kSymbols>;

int symbol_of(char c) {
    if (c == '_') return LanguageTable::kGap;
    if (c == '0') return LanguageTable::kFigure;
    assert(c >= 'A' && c <= 'Z');
    return c - 'A' + 1;
}

// Odds from counts, what was not seen by the odds of a shorter context.
Odds smoothed(const Counts& counts, const Odds& shorter) {
    double total = 0.0;
    double kinds = 0.0;
    for (const double count : counts) {
        total += count;
        kinds += count > 0.0 ? 1.0 : 0.0;
    }
    if (total == 0.0) return shorter;
    Odds odds;
    for (std::size_t s = 0; s < odds.size(); ++s)
        odds[s] = (counts[s] + kinds * shorter[s]) / (total + kinds);
    return odds;
}

}  // namespace

LanguageTable::LanguageTable(std::string_view counts)
    : odds_(static_cast<std::size_t>(kContexts) * kContexts * kContexts * kSymbols) {
    std::vector<Counts> seen(static_cast<std::size_t>(kContexts) * kContexts * kContexts);
    while (!counts.empty()) {
        const std::string_view line = counts.substr(0, counts.find('\n'));
        counts.remove_prefix(std::min(counts.size(), line.size() + 1));
        if (line.empty() || line.front() == '#') continue;
        assert(line.size() > 5 && line[4] == ' ');
        double count = 0.0;
        std::from_chars(line.data() + 5, line.data() + line.size(), count);
        const auto symbol = static_cast<std::size_t>(symbol_of(line[0]));
        const int next = symbol_of(line[1]);
        const int second = symbol_of(line[2]);
        const int third = symbol_of(line[3]);
        for (const int place :
             {context(next, second, third), context(next, second, kUnknown),
              context(next, kUnknown, kUnknown), context(kUnknown, kUnknown, kUnknown)})
            seen[static_cast<std::size_t>(place)][symbol] += count;
    }
    const auto fill = [&](int place, const Odds& shorter) {
        const Odds here = smoothed(seen[static_cast<std::size_t>(place)], shorter);
        std::copy(here.begin(), here.end(), odds_.begin() + place * kSymbols);
        return here;
    };
    Odds even;
    even.fill(1.0 / kSymbols);
    const Odds alone = fill(context(kUnknown, kUnknown, kUnknown), even);
    for (int next = 0; next < kSymbols; ++next) {
        const Odds one = fill(context(next, kUnknown, kUnknown), alone);
        for (int second = 0; second < kSymbols; ++second) {
            const Odds two = fill(context(next, second, kUnknown), one);
            for (int third = 0; third < kSymbols; ++third) fill(context(next, second, third), two);
        }
    }
}

const LanguageTable& LanguageTable::plain_english() {
    static const LanguageTable table(kPlainLanguage);
    return table;
}

}  // namespace skedlark::copy
