#include "dsp/copy/consensus.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::copy {
namespace {

constexpr double kDot = 12.0;

SampledCharacter character(int node, std::int64_t from, std::int64_t to,
                           GapKind before = GapKind::character, bool complete = true) {
    SampledCharacter out;
    out.node = node;
    out.before = before;
    out.complete = complete;
    out.marks = {{from, to, false}};
    return out;
}

std::vector<AgreedCharacter> agreed(const std::vector<SampledPath>& paths, double since = 0.0) {
    ConsensusConfig config;
    config.dot_frames = kDot;
    config.paths = static_cast<int>(paths.size());
    return agree(paths, since, config);
}

// Ten readings of two characters, one edge scattering by a frame: two characters, in order, with
// the shares counted by hand.
TEST(Consensus, SharesAreCounted) {
    std::vector<SampledPath> paths;
    for (int i = 0; i < 10; ++i) {
        paths.push_back({character(3, 100 + i % 2, 160), character(i < 7 ? 5 : 6, 200, 260)});
    }
    const auto text = agreed(paths);
    ASSERT_EQ(text.size(), 2U);
    EXPECT_EQ(text[0].node, 3);
    EXPECT_DOUBLE_EQ(text[0].share, 1.0);
    EXPECT_NEAR(text[0].from, 100.5, 1e-9);
    EXPECT_NEAR(text[0].to, 160.0, 1e-9);
    EXPECT_TRUE(text[0].others.empty());
    EXPECT_EQ(text[1].node, 5);
    EXPECT_DOUBLE_EQ(text[1].share, 0.7);
    ASSERT_EQ(text[1].others.size(), 1U);
    EXPECT_EQ(text[1].others[0].first, 6);
    EXPECT_DOUBLE_EQ(text[1].others[0].second, 0.3);
}

// One long reading (0.6) against the same stretch as two characters (0.4 each): they overlap, so
// one of the two ways is taken, never a mixture. By hand, over a floor of 0.35: 0.25 against 0.05 +
// 0.05.
TEST(Consensus, NothingOverlaps) {
    std::vector<SampledPath> paths;
    for (int i = 0; i < 10; ++i) {
        paths.push_back(i < 6 ? SampledPath{character(9, 100, 300)}
                              : SampledPath{character(2, 100, 160), character(4, 200, 300)});
    }
    auto text = agreed(paths);
    ASSERT_EQ(text.size(), 1U);
    EXPECT_EQ(text[0].node, 9);
    EXPECT_EQ(text[0].others.size(), 2U);
    // The other way round: 0.2 + 0.2 (0.55 each) beats 0.1 (0.45).
    paths.clear();
    for (int i = 0; i < 20; ++i) {
        paths.push_back(i < 9 ? SampledPath{character(9, 100, 300)}
                              : SampledPath{character(2, 100, 160), character(4, 200, 300)});
    }
    text = agreed(paths);
    ASSERT_EQ(text.size(), 2U);
    EXPECT_EQ(text[0].node, 2);
    EXPECT_EQ(text[1].node, 4);
    EXPECT_LE(text[0].to, text[1].from);
}

// Something is there in every reading, but each says another: an open mark, not a guess.
TEST(Consensus, DisagreementIsAnOpenMark) {
    std::vector<SampledPath> paths;
    for (int i = 0; i < 10; ++i) {
        paths.push_back({character(3, 20, 60), character(10 + i % 5, 100, 160, GapKind::word)});
    }
    const auto text = agreed(paths);
    ASSERT_EQ(text.size(), 2U);
    EXPECT_EQ(text[1].node, -1);
    EXPECT_NEAR(text[1].from, 100.0, 1e-9);
    EXPECT_NEAR(text[1].to, 160.0, 1e-9);
    EXPECT_NEAR(text[1].share, 0.2, 1e-9);
    EXPECT_NEAR(text[1].word_gap_before, 1.0, 1e-9);
    EXPECT_EQ(text[1].others.size(), 4U) << "at most four others";
}

// In most readings nothing is there at all: then nothing is said.
TEST(Consensus, RareReadingsAreLeftOut) {
    std::vector<SampledPath> paths(10);
    paths[0] = {character(3, 100, 160)};
    paths[1] = {character(4, 100, 160)};
    paths[2] = {character(5, 100, 160)};
    EXPECT_TRUE(agreed(paths).empty());
    EXPECT_TRUE(agreed({}).empty());
    EXPECT_TRUE(agreed({SampledPath{}, SampledPath{}}).empty());
}

TEST(Consensus, WordGapsAreAShareOfTheReadings) {
    std::vector<SampledPath> paths;
    for (int i = 0; i < 10; ++i) {
        paths.push_back({character(3, 20, 60), character(5, 120, 160,
                                                         i < 4   ? GapKind::word
                                                         : i < 6 ? GapKind::pause
                                                                 : GapKind::character)});
    }
    const auto text = agreed(paths);
    ASSERT_EQ(text.size(), 2U);
    EXPECT_NEAR(text[0].word_gap_before, 0.0, 1e-9);
    EXPECT_NEAR(text[1].word_gap_before, 0.6, 1e-9);
}

TEST(Consensus, OnlyWholeCharactersFromSinceOnCount) {
    std::vector<SampledPath> paths;
    for (int i = 0; i < 4; ++i) {
        paths.push_back({character(3, 20, 60), character(5, 120, 160),
                         character(6, 200, 230, GapKind::character, false)});
    }
    const auto text = agreed(paths, 21.0);
    ASSERT_EQ(text.size(), 1U);
    EXPECT_EQ(text[0].node, 5);
}

// The same character twice in a row is two characters, however alike.
TEST(Consensus, RepeatedCharactersStayTwo) {
    std::vector<SampledPath> paths;
    for (int i = 0; i < 8; ++i) {
        paths.push_back({character(1, 100, 112), character(1, 148, 160)});
    }
    const auto text = agreed(paths);
    ASSERT_EQ(text.size(), 2U);
    EXPECT_LT(text[0].to, text[1].from);
}

}  // namespace
}  // namespace skedlark::copy
