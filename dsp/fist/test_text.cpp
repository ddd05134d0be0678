#include "dsp/fist/test_text.h"

#include <algorithm>

namespace skedlark::fist {

bool is_test_text(std::span<const std::optional<morse::Symbol>> text) {
    static const auto kWanted = morse::symbols_from_text(kTestText);
    return kWanted && std::equal(text.begin(), text.end(), kWanted->begin(), kWanted->end(),
                                 [](const auto& a, const auto& b) {
                                     if (a.has_value() != b.has_value()) return false;
                                     return !a || a->elements == b->elements;
                                 });
}

}  // namespace skedlark::fist
