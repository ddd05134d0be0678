// How far a copied text is from the text that was sent.
//
// Stage:   tests. In: true text and copied text. Out: the cheapest alignment and counts of errors.
// Units:   counts of characters; a blank is a character, a procedure signal in brackets ("[AR]") is
//          one.
// Rules:   every error between the first and the last character counts, also invented
//          characters in the silence before and after. Blanks at the very edges of either text are
//          silence, not text. "_" (open mark) never equals anything. Symbols that are sent alike
//          ("+" and [AR], "=" and [BT], "(" and [KN]) count as equal.
// Errors:  a character outside the code stops the program with a message: the caller made the
//          texts.
// Threads: none.
// Source:  Wagner and Fischer, The string-to-string correction problem, J. ACM 21 (1974) 168-173.
// Checked: tests/support/text_score_test.cpp
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace skedlark::support {

// One character, blank, open mark or procedure signal each, in the form they are compared in; edge
// blanks are left out.
[[nodiscard]] std::vector<std::string> tokens_of(std::string_view text);

enum class Edit { match, substitute, remove, insert };

// One step of an alignment. truth and copy index the token lists; -1 where there is none.
struct EditStep {
    Edit edit = Edit::match;
    int truth = -1;
    int copy = -1;
};

// The cheapest alignment. Among equally cheap ones, blanks are matched with blanks where possible.
[[nodiscard]] std::vector<EditStep> align(const std::vector<std::string>& truth,
                                          const std::vector<std::string>& copy);

struct ErrorCount {
    long truth = 0;  // characters sent
    long errors = 0;
    // errors / truth; with nothing sent 0, or 1 where something was copied.
    [[nodiscard]] double rate() const;
    ErrorCount& operator+=(const ErrorCount& other);
};

struct TextScore {
    ErrorCount all;       // letters and blanks together: the character error rate
    ErrorCount letters;   // both texts aligned without their blanks
    ErrorCount spaces;    // blanks lost, invented or taken for a letter, per blank sent
    long open_marks = 0;  // "_" in the copy; each is part of an error above
    std::vector<bool>
        copy_right;  // one per token of the copy (edge blanks left out): was it right?
    TextScore& operator+=(const TextScore& other);
};

[[nodiscard]] TextScore score_text(std::string_view truth, std::string_view copy);
// The same for lists of tokens, one per printed character, so that copy_right can be matched with
// them.
[[nodiscard]] TextScore score_tokens(std::vector<std::string> truth, std::vector<std::string> copy);

}  // namespace skedlark::support
