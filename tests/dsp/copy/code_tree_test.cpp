#include "dsp/copy/code_tree.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>
#include <string_view>

#include "dsp/morse/code_table.h"

namespace skedlark::copy {
namespace {

int walk(const CodeTree& tree, std::string_view elements) {
    int node = 0;
    for (const char element : elements) {
        node = (element == '.' ? tree.dot_child : tree.dash_child)[node];
        if (node < 0) {
            return -1;
        }
    }
    return node;
}

// A probability: dot, dash and end are all that can follow.
TEST(CodeTree, OddsOfWhatFollowsAddToOne) {
    const CodeTree& tree = CodeTree::standard();
    ASSERT_LE(tree.size, kNodeStride);
    for (int n = 0; n < tree.size; ++n) {
        EXPECT_NEAR(tree.dot_odds[n] + tree.dash_odds[n] + tree.end_odds[n], 1.0F, 1e-6F) << n;
        EXPECT_EQ(tree.dot_odds[n] > 0.0F, tree.dot_child[n] >= 0) << n;
        EXPECT_EQ(tree.dash_odds[n] > 0.0F, tree.dash_child[n] >= 0) << n;
        EXPECT_EQ(tree.end_odds[n] > 0.0F, !tree.reading[n].text.empty()) << n;
    }
    EXPECT_EQ(tree.end_odds[0], 0.0F);
}

TEST(CodeTree, ParentsAndElementsMatchChildren) {
    const CodeTree& tree = CodeTree::standard();
    EXPECT_EQ(tree.parent[0], -1);
    for (int n = 1; n < tree.size; ++n) {
        const int parent = tree.parent[n];
        ASSERT_GE(parent, 0);
        ASSERT_LT(parent, n) << "parents must come first";
        EXPECT_EQ((tree.by_dash[n] ? tree.dash_child : tree.dot_child)[parent], n);
    }
}

// The table is checked against ITU-R M.1677-1 by its own test. Of symbols with one pattern, the one
// that counts without context stands first in it.
TEST(CodeTree, EverySymbolIsReachedAndReadAsTheFirstOfItsPattern) {
    const CodeTree& tree = CodeTree::standard();
    for (const morse::Symbol& symbol : morse::symbols()) {
        const int node = walk(tree, symbol.elements);
        ASSERT_GT(node, 0) << symbol.text;
        const morse::Symbol* first = morse::find_by_elements(symbol.elements).front();
        EXPECT_EQ(tree.reading[node].text, first->text);
        EXPECT_EQ(tree.reading[node].procedure, first->procedure);
    }
    // ITU-R M.1677-1 section 1.1, patterns typed here.
    EXPECT_EQ(tree.reading[walk(tree, "--.-")].text, "Q");
    EXPECT_EQ(tree.reading[walk(tree, "...--")].text, "3");
    EXPECT_EQ(tree.reading[walk(tree, "..--..")].text, "?");
    EXPECT_EQ(tree.reading[walk(tree, ".-...")].text, "AS");
    EXPECT_TRUE(tree.reading[walk(tree, ".-...")].procedure);
    EXPECT_TRUE(tree.reading[walk(tree, "----")].text.empty());
    EXPECT_EQ(walk(tree, "..-.-.."), -1) << "no such pattern";
}

// The odds of a whole character are the product along its way; they add up to 1 and letters and
// figures are alike.
TEST(CodeTree, LettersAndFiguresAreEquallyLikely) {
    const CodeTree& tree = CodeTree::standard();
    const auto odds_of = [&](int node) {
        double odds = static_cast<double>(tree.end_odds[node]);
        for (int n = node; n != 0; n = tree.parent[n]) {
            const int parent = tree.parent[n];
            odds *= static_cast<double>((tree.by_dash[n] ? tree.dash_odds : tree.dot_odds)[parent]);
        }
        return odds;
    };
    double sum = 0.0;
    for (int n = 0; n < tree.size; ++n) {
        sum += odds_of(n);
    }
    EXPECT_NEAR(sum, 1.0, 1e-5);
    const double letter = odds_of(walk(tree, "."));
    for (const char c : std::string_view("ABCDFGHIJKLMNOPQRSTUVWYZ0123456789")) {
        const auto* symbol = morse::find_by_text(std::string(1, c));
        EXPECT_NEAR(odds_of(walk(tree, symbol->elements)) / letter, 1.0, 1e-4) << c;
    }
    for (const char c : std::string_view(".,?/-:'@")) {
        const auto* symbol = morse::find_by_text(std::string(1, c));
        EXPECT_LT(odds_of(walk(tree, symbol->elements)), 0.5 * letter) << c;
    }
}

}  // namespace
}  // namespace skedlark::copy
