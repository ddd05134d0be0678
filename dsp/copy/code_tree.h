// The code as a tree of dots and dashes, with the chance of each branch.
//
// Stage:   copy. In: the code table. Out: for each prefix the odds of dot, dash and end.
// Shape:   at most kMaxNodes nodes, root first; rows of kNodeStride floats for the trellis.
// Errors:  none.
// Threads: immutable after construction.
// Source:  ITU-R M.1677-1 for the code; the weights are a plain prior, see kWeight* in the source.
// Checked: tests/dsp/copy/code_tree_test.cpp
#pragma once

#include <array>
#include <string>
#include <vector>

namespace skedlark::copy {

inline constexpr int kNodeStride = 72;  // nodes in use (66), rounded up for vector arithmetic

struct CodeTree {
    struct Reading {
        std::string text;
        bool procedure = false;
    };
    int size = 0;
    // Child by dot and by dash, -1 where the code has none; parent and own last element.
    std::array<int, kNodeStride> dot_child{}, dash_child{}, parent{};
    std::array<bool, kNodeStride> by_dash{};
    // Odds of what follows, given that this prefix was reached; they add to 1 below the root.
    std::array<float, kNodeStride> dot_odds{}, dash_odds{}, end_odds{};
    // What a prefix says when it is a whole character; empty text where it is none.
    std::array<Reading, kNodeStride> reading{};

    // Every character of the table; letters and figures equally likely, the rest rarer.
    [[nodiscard]] static const CodeTree& standard();
};

}  // namespace skedlark::copy
