#include "dsp/copy/unaided.h"

#include <algorithm>

#include "dsp/copy/code_tree.h"

namespace skedlark::copy {
namespace {

std::string text_of(const AgreedCharacter& character, bool with_gap) {
    const std::string gap =
        with_gap && character.word_gap_before > kWordGapShare ? std::string(" ") : std::string();
    if (character.node < 0) return gap + "_";
    return gap + CodeTree::standard().reading[character.node].text;
}

}  // namespace

std::optional<std::string> unaided_reading(const AgreedCharacter& character,
                                           const std::vector<AgreedCharacter>& unaided) {
    std::string alone;
    bool from_the_first = false;
    for (const AgreedCharacter& other : unaided) {
        const double shared =
            std::min(character.to, other.to) - std::max(character.from, other.from);
        const double shorter = std::min(character.to - character.from, other.to - other.from);
        if (shared < 0.5 * shorter) continue;
        // The gap before one that began earlier is not before this character.
        const bool begins_here = other.from > character.from - 0.5 * shorter;
        from_the_first = from_the_first || (alone.empty() && begins_here);
        alone += text_of(other, begins_here || !alone.empty());
    }
    if (alone == text_of(character, from_the_first || alone.empty())) return std::nullopt;
    return alone;
}

}  // namespace skedlark::copy
