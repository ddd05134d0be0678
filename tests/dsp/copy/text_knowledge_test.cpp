#include "dsp/copy/text_knowledge.h"

#include <gtest/gtest.h>

#include <string>
#include <string_view>

namespace skedlark::copy {
namespace {

constexpr double kGapOdds = 0.2;

int node_of(std::string_view text) {
    const CodeTree& tree = CodeTree::standard();
    for (int n = 0; n < tree.size; ++n)
        if (tree.reading[n].text == text && !tree.reading[n].procedure) return n;
    ADD_FAILURE() << text;
    return 0;
}

class Text : public ::testing::TestWithParam<TextKind> {
 protected:
    TextKnowledge knowledge_{GetParam(), CodeTree::standard(), kGapOdds};
};

// Read backward.
TextKnowledge::Following after(const TextKnowledge& knowledge, std::string_view text) {
    TextKnowledge::Following following;
    for (auto c = text.rbegin(); c != text.rend(); ++c) {
        if (*c == ' ') {
            following.add_gap();
        } else if (*c == '_') {
            following.add_unknown();
        } else {
            knowledge.add(following, node_of(std::string(1, *c)));
        }
    }
    return following;
}

// The ratios times the odds of the code tree must be odds again.
TEST_P(Text, RatiosKeepOdds) {
    const CodeTree& tree = CodeTree::standard();
    std::array<double, kNodeStride> reach{1.0};
    for (const char* next : {"", " ", "THE", "E ", "12345", "AB CDE", "?", "_", "7 ABC"}) {
        const auto following = after(knowledge_, next);
        double sum = 0.0;
        for (int n = 1; n < tree.size; ++n) {
            const int parent = tree.parent[n];
            reach[static_cast<std::size_t>(n)] =
                reach[static_cast<std::size_t>(parent)] *
                static_cast<double>(tree.by_dash[n] ? tree.dash_odds[parent]
                                                    : tree.dot_odds[parent]);
            const double ratio = knowledge_.character_ratio(following, n);
            EXPECT_GE(ratio, 0.0999);  // never more than ten times against anything
            sum +=
                reach[static_cast<std::size_t>(n)] * static_cast<double>(tree.end_odds[n]) * ratio;
        }
        EXPECT_NEAR(sum, 1.0, 1e-3) << next;
        EXPECT_GT(knowledge_.gap(following), 0.01) << next;
        EXPECT_LT(knowledge_.gap(following), 0.99) << next;
    }
}
INSTANTIATE_TEST_SUITE_P(Kinds, Text, ::testing::Values(TextKind::groups, TextKind::plain));

// Common practice, no source: cipher groups have five characters, all letters or all figures.
TEST(TextKnowledge, GroupsHaveFive) {
    const TextKnowledge knowledge(TextKind::groups, CodeTree::standard(), kGapOdds);
    const auto gap = [&](std::string_view next) { return knowledge.gap(after(knowledge, next)); };
    EXPECT_GT(gap("ABCDE FGHIJ"), 0.85);
    for (const char* early : {" FGHIJ", "E FGHIJ", "BCDE FGHIJ"}) EXPECT_LT(gap(early), 0.05);
    // Where the group's end was not heard it may begin anywhere.
    EXPECT_LT(gap("E"), gap("DE"));
    EXPECT_LT(gap("DE"), gap("BCDE"));
    const auto ratio = [&](std::string_view next, std::string_view c) {
        return knowledge.character_ratio(after(knowledge, next), node_of(c));
    };
    EXPECT_GT(ratio("BCD E", "A"), 4.0 * ratio("BCD E", "5"));
    EXPECT_GT(ratio("345 E", "5"), 4.0 * ratio("345 E", "A"));
    // A gap makes letters and figures as likely again.
    EXPECT_DOUBLE_EQ(ratio(" 12345", "A"), ratio(" 12345", "5"));
}

TEST(TextKind, HasItsName) {
    EXPECT_EQ(text_kind("none"), TextKind::none);
    EXPECT_EQ(text_kind("groups"), TextKind::groups);
    EXPECT_EQ(text_kind("plain"), TextKind::plain);
    EXPECT_EQ(text_kind("verse"), TextKind::none);
}

TEST(TextKnowledge, PlainTextIsEnglish) {
    const TextKnowledge knowledge(TextKind::plain, CodeTree::standard(), kGapOdds);
    const auto ratio = [&](std::string_view next, std::string_view c) {
        return knowledge.character_ratio(after(knowledge, next), node_of(c));
    };
    EXPECT_GT(ratio("HE ", "T"), 8.0);
    EXPECT_LT(ratio("HE ", "Q"), 0.2);
    EXPECT_GT(ratio("815 ", "1"), ratio("815 ", "E"));
    const auto gap = [&](std::string_view next) { return knowledge.gap(after(knowledge, next)); };
    EXPECT_GT(gap("THE"), 2.0 * gap("HE "));
    // A sign says nothing of gaps.
    EXPECT_NEAR(gap("="), kGapOdds, 1e-9);
}

}  // namespace
}  // namespace skedlark::copy
