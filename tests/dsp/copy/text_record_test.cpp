#include "dsp/copy/text_record.h"

#include <gtest/gtest.h>

#include "dsp/copy/code_tree.h"

namespace skedlark::copy {
namespace {

int node_of(const char* elements) {
    const CodeTree& tree = CodeTree::standard();
    int node = 0;
    for (const char* e = elements; *e != '\0'; ++e) {
        node = *e == '.' ? tree.dot_child[static_cast<std::size_t>(node)]
                         : tree.dash_child[static_cast<std::size_t>(node)];
    }
    return node;
}

AgreedCharacter character(const char* elements, double from, double to, double share,
                          double word_gap) {
    return {node_of(elements), from, to, share, word_gap, {}};
}

TEST(TextRecord, WordGapStandsBetweenWordsOnlyAndTimesAreWorkFrames) {
    TextRecord record(3);
    record.set_origin(1000);
    std::vector<Event> out;
    record.settle(character(".-", 10.0, 30.0, 1.0, 1.0), 64, out);
    record.settle(character("-...", 60.0, 90.0, 1.0, 0.9), 64, out);
    record.settle(character("-", 120.0, 130.0, 1.0, 0.1), 64, out);
    EXPECT_EQ(record.text(), "A BT");
    ASSERT_EQ(out.size(), 4U);
    const auto& first = std::get<CharEvent>(out[0]);
    EXPECT_EQ(first.tone, 3);
    // Boundary 10 lies half a frame of 40 samples before the middle of frame 10.
    EXPECT_EQ(first.from_frame, 1000 + 10 * 40 - 20);
    const auto& gap = std::get<CharEvent>(out[1]);
    EXPECT_EQ(gap.text, " ");
    EXPECT_EQ(gap.from_frame, first.to_frame);
}

// (share n + 1/2) / (n + 1): the mean under Jeffreys' prior, worked by hand for n = 64.
TEST(TextRecord, ConfidenceIsNeverQuiteNoughtOrOne) {
    TextRecord record;
    std::vector<Event> out;
    record.settle(character(".", 1.0, 2.0, 1.0, 0.0), 64, out);
    record.settle(character(".", 3.0, 4.0, 2.0, 0.0), 64, out);  // two of one path in one place
    EXPECT_DOUBLE_EQ(std::get<CharEvent>(out[0]).confidence, 64.5 / 65.0);
    EXPECT_DOUBLE_EQ(std::get<CharEvent>(out[1]).confidence, 64.5 / 65.0);
}

TEST(TextRecord, WhatIsShownDoesNotCount) {
    TextRecord record;
    std::vector<Event> out;
    record.show({character(".-.-.", 1.0, 30.0, 0.9, 0.0)}, 16, out);
    EXPECT_TRUE(record.empty());
    ASSERT_EQ(out.size(), 1U);
    EXPECT_FALSE(std::get<CharEvent>(out[0]).final);
}

TEST(TextRecord, OpenMarkAndOtherReadings) {
    TextRecord record;
    std::vector<Event> out;
    record.settle({-1, 1.0, 9.0, 0.3, 0.0, {{node_of(".-"), 0.3}, {node_of("-."), 0.2}}}, 64, out);
    const auto& event = std::get<CharEvent>(out[0]);
    EXPECT_EQ(event.text, "_");
    ASSERT_EQ(event.others.size(), 2U);
    EXPECT_EQ(event.others[0].first, "A");
    EXPECT_EQ(event.others[1].first, "N");
}

}  // namespace
}  // namespace skedlark::copy
