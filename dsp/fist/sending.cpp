#include "dsp/fist/sending.h"

#include "dsp/morse/code_table.h"

namespace skedlark::fist {
namespace {

using morse::ElementKind;

void name_characters(std::vector<SentCharacter>& characters) {
    for (std::size_t i = 0; i < characters.size(); ++i) {
        SentCharacter& one = characters[i];
        const bool ends_word = i + 1 == characters.size() || characters[i + 1].word_begins;
        const morse::Symbol* symbol =
            morse::read_elements(one.elements, one.word_begins && ends_word);
        one.text = symbol == nullptr ? "_" : std::string(symbol->text);
        one.procedure = symbol != nullptr && symbol->procedure;
    }
}

}  // namespace

Sending read_sending(const Keying& keying, const Kinds& kinds) {
    Sending out;
    out.kinds = kinds;
    const std::size_t marks = keying.marks.size();
    bool begins = true;
    bool word_begins = true;
    for (std::size_t i = 0; i < marks; ++i) {
        if (begins) {
            SentCharacter one;
            one.first_mark = i;
            one.marks = 0;
            one.word_begins = word_begins;
            out.characters.push_back(one);
        }
        ++out.characters.back().marks;
        out.characters.back().elements += kinds.marks[i] == ElementKind::dot ? '.' : '-';
        out.mark_counts.push_back(keying.marks[i].beside_lost ? 0 : 1);
        if (i + 1 == marks) break;
        const bool lost = keying.marks[i].beside_lost || keying.marks[i + 1].beside_lost;
        out.gap_counts.push_back(lost || kinds.pauses[i] != 0 ? 0 : 1);
        begins = kinds.gaps[i] != ElementKind::element_gap;
        word_begins = kinds.gaps[i] == ElementKind::word_gap;
    }
    name_characters(out.characters);
    return out;
}

std::string text_of(const Sending& sending) {
    std::string text;
    for (const SentCharacter& one : sending.characters) {
        if (one.word_begins && !text.empty()) text += ' ';
        text += one.procedure ? "[" + one.text + "]" : one.text;
    }
    return text;
}

}  // namespace skedlark::fist
