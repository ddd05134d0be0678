#include "dsp/morse/timing.h"

#include <string>

#include "dsp/morse/code_table.h"

namespace skedlark::morse {
namespace {

void append_character(std::string_view elements, std::vector<TimedElement>& out) {
    for (std::size_t i = 0; i < elements.size(); ++i) {
        if (i > 0) out.push_back({ElementKind::element_gap, kElementGapUnits});
        if (elements[i] == '-') {
            out.push_back({ElementKind::dash, kDashUnits});
        } else {
            out.push_back({ElementKind::dot, kDotUnits});
        }
    }
}

Error out_of_range(const char* field, double value, const std::string& allowed) {
    return {ErrorCode::invalid_value,
            std::string(field) + ": " + std::to_string(value) + ", allowed " + allowed};
}

}  // namespace

Result<Spacing> stretched_spacing(double overall_wpm, double character_wpm) {
    if (!(character_wpm >= kMinSpeedWpm && character_wpm <= kMaxSpeedWpm)) {
        return out_of_range("character_wpm", character_wpm, "4 to 60");
    }
    if (!(overall_wpm >= kMinSpeedWpm && overall_wpm <= character_wpm)) {
        return out_of_range("overall_wpm", overall_wpm,
                            "4 to character_wpm (" + std::to_string(character_wpm) + ")");
    }
    // Bloom: PARIS has 31 dots inside its characters and 19 in its gaps; the added time is shared
    // in the proportion 3 to 7. His 37.2 is 31 dots of 1.2 s, so that equal speeds give gaps of 3
    // and 7.
    const double added_s =
        (60.0 * character_wpm - 37.2 * overall_wpm) / (overall_wpm * character_wpm);
    const double dot_s = dit_s(character_wpm);
    return Spacing{3.0 * added_s / 19.0 / dot_s, 7.0 * added_s / 19.0 / dot_s};
}

Result<std::vector<TimedElement>> timed_elements(std::string_view text, const Spacing& spacing,
                                                 bool closing_word_gap) {
    const auto symbols = symbols_from_text(text);
    if (!symbols) return symbols.error();
    std::vector<TimedElement> out;
    bool character_open = false;
    for (const auto& symbol : *symbols) {
        if (!symbol) {
            out.push_back({ElementKind::word_gap, spacing.word_gap_units});
            character_open = false;
            continue;
        }
        if (character_open) {
            out.push_back({ElementKind::character_gap, spacing.character_gap_units});
        }
        append_character(symbol->elements, out);
        character_open = true;
    }
    if (closing_word_gap && !out.empty()) {
        out.push_back({ElementKind::word_gap, spacing.word_gap_units});
    }
    return out;
}

Result<double> units_of_text(std::string_view text, const Spacing& spacing) {
    const auto elements = timed_elements(text, spacing, true);
    if (!elements) return elements.error();
    double units = 0.0;
    for (const TimedElement& element : *elements) units += element.units;
    return units;
}

}  // namespace skedlark::morse
