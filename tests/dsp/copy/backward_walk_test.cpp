#include "dsp/copy/backward_walk.h"

#include <gtest/gtest.h>

#include <string_view>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

// The shares of what is drawn are held against a plain sum in path_sampler_test.cpp; here is what
// the walk itself promises.
class BackwardWalkOf : public ::testing::Test {
 protected:
    BackwardWalkOf() {
        test::Keying keying;
        keying.up(0.04);
        keying.send("TEA", 60.0);
        keying.up(0.1);
        std::mt19937_64 random(support::test_seed(71));
        evidence_.reset();
        for (const auto& frame : keying.frames(kSnrDb, random))
            evidence_.append(frame, test::amplitude_of(kSnrDb));
        trellis_.begin(0, {timing_of(even_hand(), 4.0)});
        while (trellis_.now() < evidence_.size()) trellis_.advance(evidence_);
    }

    static constexpr double kSnrDb = 2.0;
    MarkEvidence evidence_{256};
    TextTrellis trellis_{CodeTree::standard(), 256};
};

void expect_same(const SampledPath& a, const SampledPath& b) {
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
        EXPECT_EQ(a[i].node, b[i].node);
        EXPECT_EQ(a[i].before, b[i].before);
        ASSERT_EQ(a[i].marks.size(), b[i].marks.size());
        EXPECT_EQ(a[i].marks.back().from, b[i].marks.back().from);
        EXPECT_EQ(a[i].marks.front().to, b[i].marks.front().to);
    }
}

TEST_F(BackwardWalkOf, StoppedAndGoneOnWithDrawsTheSame) {
    const PathEndings endings(trellis_, evidence_);
    ASSERT_TRUE(endings.possible());
    for (std::uint32_t seed = 1; seed <= 50; ++seed) {
        std::mt19937 first(seed);
        std::mt19937 second(seed);
        BackwardWalk whole(trellis_, first, 0, nullptr);
        BackwardWalk in_parts(trellis_, second, 0, nullptr);
        const Ending& ending = endings.pick(seed / 51.0);
        Reading a = whole.start(ending, trellis_.now());
        whole.go_on(a, 0);
        Reading b = in_parts.start(ending, trellis_.now());
        for (std::int64_t until = trellis_.now(); until >= 0; --until) in_parts.go_on(b, until);
        expect_same(a.path, b.path);
        EXPECT_EQ(a.log_weight, 0.0);
    }
}

TEST_F(BackwardWalkOf, MarksFollowEachOtherBackward) {
    const PathEndings endings(trellis_, evidence_);
    std::mt19937 random(3);
    BackwardWalk walk(trellis_, random, 0, nullptr);
    int characters = 0;
    for (int i = 0; i < 200; ++i) {
        Reading reading = walk.start(endings.pick((i + 0.5) / 200.0), trellis_.now());
        walk.go_on(reading, 0);
        std::int64_t after = trellis_.now();
        for (const SampledCharacter& character : reading.path) {
            const CodeTree& tree = trellis_.tree();
            int node = character.node;
            for (const SampledMark& mark : character.marks) {
                EXPECT_LE(mark.to, after);
                EXPECT_LT(mark.from, mark.to);
                EXPECT_EQ(mark.dash, static_cast<bool>(tree.by_dash[node]));
                after = mark.from;
                node = tree.parent[node];
            }
            // The last one drawn may be cut off by the beginning.
            if (&character != &reading.path.back()) {
                EXPECT_EQ(node, 0);
            }
            ++characters;
        }
    }
    EXPECT_GT(characters, 400);
}

}  // namespace
}  // namespace skedlark::copy
