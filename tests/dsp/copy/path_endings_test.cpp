#include "dsp/copy/path_endings.h"

#include <gtest/gtest.h>

#include <array>
#include <map>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

TEST(WeightedChoice, SharesAreTheWeights) {
    WeightedChoice choice;
    EXPECT_FALSE(choice.possible());
    for (const double weight : {1.0, 0.0, 3.0, 4.0}) {
        choice.add(weight);
    }
    EXPECT_EQ(choice.total(), 8.0);
    std::array<int, 4> count{};
    for (int i = 0; i < 8000; ++i) {
        ++count[choice.pick((i + 0.5) / 8000.0)];
    }
    EXPECT_EQ(count, (std::array<int, 4>{1000, 0, 3000, 4000}));
    choice.clear();
    EXPECT_FALSE(choice.possible());
}

using Kind = Ending::Kind;

// Shares of what is under way after so many frames of "T" at 12 wpm (0.3 s after 0.2 s of silence).
std::map<Kind, double> shares_after(int frames) {
    std::mt19937_64 random(support::test_seed(95));
    test::Keying keying;
    keying.up(0.2);
    keying.send("T", 12.0);
    keying.up(6.0);
    auto heard = keying.frames(6.0, random);
    heard.resize(static_cast<std::size_t>(frames));
    MarkEvidence evidence(2048);
    evidence.reset();
    evidence.mix = {0.88, 0.08, 0.02, 0.01, 0.01, 0.0};  // nobody says what the gain is to be
    for (const auto& frame : heard) {
        evidence.append(frame, test::amplitude_of(6.0));
    }
    TextTrellis trellis(CodeTree::standard(), 2048);
    trellis.begin(0, {timing_of(even_hand(), 20.0)});
    while (trellis.now() < evidence.size()) {
        trellis.advance(evidence);
    }
    const PathEndings endings(trellis, evidence);
    std::map<Kind, double> shares;
    constexpr int kDraws = 4000;
    for (int i = 0; i < kDraws; ++i) {
        shares[endings.pick((i + 0.5) / kDraws).kind] += 1.0 / kDraws;
    }
    return shares;
}

// Silence from frame 0, key down from 40 to 100; an element gap lasts 20 frames, one between
// characters 60, between words 140 (dot of 20 frames and ITU-R M.1677-1, part I, 2.1 to 2.4).
TEST(PathEndings, WhatIsUnderWayIsWhatIsSent) {
    EXPECT_GT(shares_after(30)[Kind::idle], 0.9);
    auto in_mark = shares_after(90);
    EXPECT_GT(in_mark[Kind::mark] + in_mark[Kind::stray_mark], 0.99);
    EXPECT_GT(in_mark[Kind::mark], 0.5) << "one mark alone may be keying that is no Morse";
    auto in_gap = shares_after(108);
    EXPECT_LT(in_gap[Kind::mark] + in_gap[Kind::stray_mark], 0.01);
    EXPECT_GT(in_gap[Kind::element_gap], 0.2) << "T may go on";
    auto later = shares_after(145);
    EXPECT_LT(later[Kind::element_gap], 0.01) << "too long for a gap within a character";
    EXPECT_GT(later[Kind::character_gap], 0.5);
    EXPECT_GT(shares_after(1000)[Kind::idle], 0.8) << "nothing waits for six seconds";
}

}  // namespace
}  // namespace skedlark::copy
