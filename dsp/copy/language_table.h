// How likely a character is before those that follow it, in plain English.
//
// Stage:   copy, inside. In: counts of four characters in a row, built in. Out: odds.
// Units:   odds; for each context those of all 28 symbols add to 1.
// Shape:   symbols: 0 a gap between words, 1 to 26 the letters, 27 any figure; kUnknown as context
//          says nothing is known there or beyond.
// Errors:  none; the counts are built in, and their form is asserted.
// Threads: immutable after construction.
// Source:  counts of the Debian Administrator's Handbook (package debian-handbook), made by
//          scripts/count_language; smoothed by Witten and Bell, IEEE Trans. Inf. Theory 37 (1991)
//          1085-1094, method C, each order by the one below it.
// Checked: tests/dsp/copy/language_table_test.cpp
#pragma once

#include <string_view>
#include <vector>

namespace skedlark::copy {

class LanguageTable {
 public:
    static constexpr int kGap = 0;
    static constexpr int kFigure = 27;
    static constexpr int kSymbols = 28;
    static constexpr int kUnknown = 28;

    // Lines of four characters and their count: letters, 0 for a figure, _ for a gap; # a remark.
    explicit LanguageTable(std::string_view counts);
    [[nodiscard]] static const LanguageTable& plain_english();

    // Of a symbol right before `next`, which is followed by `second` and `third`.
    [[nodiscard]] double odds(int symbol, int next, int second, int third) const {
        return static_cast<double>(
            odds_[static_cast<std::size_t>(context(next, second, third) * kSymbols + symbol)]);
    }

 private:
    static constexpr int kContexts = kSymbols + 1;
    [[nodiscard]] static int context(int next, int second, int third) {
        return (next * kContexts + second) * kContexts + third;
    }
    std::vector<float> odds_;
};

}  // namespace skedlark::copy
