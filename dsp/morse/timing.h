// Standard timing: text as a list of marks and gaps in dots, and the words that speeds are counted
// by.
//
// Stage:   morse. In: text or symbols. Out: TimedElement list, mark and gap in turn.
// Units:   dots (units); speeds in words a minute by PARIS unless the name says CODEX; seconds.
// Shape:   any text; empty text gives an empty list.
// Time:    lengths only; the last gap of a text is left out unless asked for.
// Errors:  invalid_value: text outside the code, speeds outside 4 to 60 or the wrong way round.
// Threads: all functions are pure.
// Source:  ITU-R M.1677-1 Annex 1 part I section 2 (dash 3, gaps 1, 3, 7); Bloom, QEX April 1990
//          (stretched spacing); 60-unit word CODEX: common practice, no source.
// Checked: tests/dsp/morse/timing_test.cpp
#pragma once

#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/core/units.h"

namespace skedlark::morse {

inline constexpr double kDotUnits = 1.0;
inline constexpr double kDashUnits = 3.0;
inline constexpr double kElementGapUnits = 1.0;
inline constexpr double kCharacterGapUnits = 3.0;
inline constexpr double kWordGapUnits = 7.0;

// Length of a dot at a speed counted in the 60-unit word CODEX (code groups). speed_wpm above 0.
[[nodiscard]] constexpr double codex_dit_s(double codex_wpm) { return 1.0 / codex_wpm; }

// Gaps between characters and words; wider than the standard where spacing is stretched.
struct Spacing {
    double character_gap_units = kCharacterGapUnits;
    double word_gap_units = kWordGapUnits;
};
// Characters at character_wpm, spaced so that the whole goes at overall_wpm (both 4 to 60,
// overall_wpm not above character_wpm).
[[nodiscard]] Result<Spacing> stretched_spacing(double overall_wpm, double character_wpm);

enum class ElementKind { dot, dash, element_gap, character_gap, word_gap };
[[nodiscard]] constexpr bool is_mark(ElementKind kind) {
    return kind == ElementKind::dot || kind == ElementKind::dash;
}
struct TimedElement {
    ElementKind kind = ElementKind::dot;
    double units = kDotUnits;
    friend bool operator==(const TimedElement&, const TimedElement&) = default;
};

// closing_word_gap: end with a word gap, as words are counted.
[[nodiscard]] Result<std::vector<TimedElement>> timed_elements(std::string_view text,
                                                               const Spacing& spacing = {},
                                                               bool closing_word_gap = false);
// Whole length with the closing word gap, in dots: PARIS 50, CODEX 60.
[[nodiscard]] Result<double> units_of_text(std::string_view text, const Spacing& spacing = {});

}  // namespace skedlark::morse
