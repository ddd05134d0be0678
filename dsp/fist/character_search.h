// The likeliest way in which a few measured marks are one character.
//
// Stage:   fist, inside. In: LengthOdds, the elements of a character. Out: what each number of marks
//          costs as this character, and which element became of which mark.
// Units:   costs in nepers.
// Shape:   1 to kMostMarks marks.
// Time:    none.
// Errors:  none; what cannot be costs kNever.
// Threads: one thread per instance; the odds and elements must outlive it.
// Source:  dynamic programming over elements and marks (Wagner and Fischer, J. ACM 21, 1974).
// Checked: tests/dsp/fist/character_search_test.cpp
#pragma once

#include <cstddef>
#include <span>
#include <string_view>
#include <vector>

#include "dsp/fist/length_odds.h"

namespace skedlark::fist {

inline constexpr int kMostMarks = 12;  // of one character as sent; eight in the code, some put in
inline constexpr double kNever = 1e9;

// What became of one element of a character, or of the hand between two of them.
enum class ElementFate { right, other, dropped, lost, put_in };
// other: a dot for a dash or the other way round. dropped: never keyed, the gap is an element gap.
// lost: the gap holds its place. put_in: no element of the character.

struct ElementStep {
    ElementFate fate = ElementFate::right;
    bool dash = false;          // as meant; as sounded for one put in
    std::size_t mark = 0;       // not for dropped and lost
    bool split_before = false;  // the gap before it sounds like one between characters
};

class CharacterSearch {
 public:
    CharacterSearch(const LengthOdds& odds, std::string_view elements)
        : odds_(odds), elements_(elements) {}

    // Costs of 1, 2, ... kMostMarks marks from `start` on being this character, into out.
    void run(std::size_t start, std::span<float> out);
    // The way of the last run() that ends after `marks` marks.
    [[nodiscard]] std::vector<ElementStep> way(std::size_t marks) const;

 private:
    struct Came {
        std::size_t from = 0;  // elements consumed before
        ElementFate fate = ElementFate::right;
        bool split = false;
        bool lost = false;  // the elements passed over went lost, their place is held
    };
    double& at(std::size_t a, std::size_t b) { return best_[a * (kMostMarks + 1) + b]; }
    [[nodiscard]] double at(std::size_t a, std::size_t b) const {
        return best_[a * (kMostMarks + 1) + b];
    }
    [[nodiscard]] ElementStep gone(std::size_t element, ElementFate fate) const;
    void offer(std::size_t a, std::size_t b, double cost, const Came& came);
    // Element `next` is the mark after b marks; those from a up to it are gone.
    void pair(std::size_t a, std::size_t b, std::size_t next);
    void put_in(std::size_t a, std::size_t b);

    const LengthOdds& odds_;
    std::string_view elements_;
    std::size_t start_ = 0;
    std::vector<double> best_;
    std::vector<Came> came_;
};

}  // namespace skedlark::fist
