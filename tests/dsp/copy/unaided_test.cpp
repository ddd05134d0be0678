#include "dsp/copy/unaided.h"

#include <gtest/gtest.h>

#include "dsp/copy/code_tree.h"

namespace skedlark::copy {
namespace {

AgreedCharacter character(std::string_view text, double from, double to, double gap = 0.0) {
    const CodeTree& tree = CodeTree::standard();
    AgreedCharacter out;
    for (int n = 0; n < tree.size; ++n)
        if (tree.reading[n].text == text && !tree.reading[n].procedure) out.node = n;
    out.from = from;
    out.to = to;
    out.share = 0.9;
    out.word_gap_before = gap;
    return out;
}

TEST(Unaided, TheSameReadingIsNoChange) {
    const auto one = character("A", 100.0, 160.0, 0.9);
    EXPECT_EQ(unaided_reading(one, {character("A", 102.0, 158.0, 0.6)}), std::nullopt);
}

TEST(Unaided, AnotherReadingIsNamed) {
    const auto one = character("F", 100.0, 200.0);
    EXPECT_EQ(unaided_reading(one, {character("G", 105.0, 195.0)}), "G");
    EXPECT_EQ(unaided_reading(one, {}), "");
    EXPECT_EQ(unaided_reading(one, {character("E", 300.0, 310.0)}), "");
    // In two pieces, with a gap between them.
    EXPECT_EQ(
        unaided_reading(one, {character("I", 100.0, 130.0), character("N", 150.0, 200.0, 0.8)}),
        "I N");
}

TEST(Unaided, AGapIsAChange) {
    EXPECT_EQ(unaided_reading(character("A", 100.0, 160.0), {character("A", 100.0, 160.0, 0.7)}),
              " A");
    EXPECT_EQ(unaided_reading(character("A", 100.0, 160.0, 0.7), {character("A", 100.0, 160.0)}),
              "A");
    // The gap before a character that began much earlier is not before this one.
    EXPECT_EQ(
        unaided_reading(character("A", 100.0, 160.0, 0.0), {character("P", 20.0, 160.0, 0.9)}),
        "P");
}

}  // namespace
}  // namespace skedlark::copy
