// What kind of text is expected, and how likely a character is before those already read.
//
// Stage:   copy, inside. In: what follows, character by character backward. Out: odds.
// Units:   odds.
// Shape:   Following holds what was read so far of one reading, which is drawn from its end.
// Errors:  none.
// Threads: immutable after construction.
// Source:  plain: language_table.h. Groups: five letters or five figures, then a gap, where within a
//          group a reading begins is not known. Either is mixed with text of any kind, so that
//          evidence can always say otherwise.
// Checked: tests/dsp/copy/text_knowledge_test.cpp
#pragma once

#include <array>

#include "dsp/copy/code_tree.h"
#include "dsp/copy/language_table.h"
#include "dsp/copy/text_kind.h"

namespace skedlark::copy {

class TextKnowledge {
 public:
    // kind: groups or plain. gap_odds: those of a gap between words where nothing is known.
    TextKnowledge(TextKind kind, const CodeTree& tree, double gap_odds);

    class Following {
     public:
        void add_gap();
        void add_unknown();  // a character, but not which

     private:
        friend class TextKnowledge;
        void add(int symbol, bool figure);
        std::array<int, 3> symbols_{LanguageTable::kUnknown, LanguageTable::kUnknown,
                                    LanguageTable::kUnknown};  // nearest first
        int in_group_ = 0;         // characters since the gap that follows
        bool gap_seen_ = false;    // else the group may go on beyond what was read
        bool after_sign_ = false;  // a sign follows: before it there may be a gap or none
        bool class_known_ = false, figures_ = false;  // of the group's characters
    };
    void add(Following& following, int node) const;

    // That the next symbol, going back, is a gap between words.
    [[nodiscard]] double gap(const Following& following) const;
    // That it is this character, where it is no gap, over what it would be with nothing known.
    [[nodiscard]] double character_ratio(const Following& following, int node) const;

 private:
    [[nodiscard]] double known_gap(const Following& following) const;

    TextKind kind_;
    double gap_odds_;
    struct Character {
        int symbol = LanguageTable::kUnknown;  // of the language table; kUnknown: a sign
        double odds = 0.0;                     // with nothing known
    };
    std::array<Character, kNodeStride> characters_{};
    double signs_ = 0.0;  // odds of all signs and procedure signals
};

}  // namespace skedlark::copy
