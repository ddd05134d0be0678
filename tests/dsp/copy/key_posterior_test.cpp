#include "dsp/copy/key_posterior.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

using test::frames_of;

Timing quick_hand() {
    Timing hand;
    hand.dot = {4.0, 0.15};
    hand.dash = {12.0, 0.15};
    hand.element_gap = {4.0, 0.15};
    hand.character_gap = {12.0, 0.2};
    hand.word_gap = {28.0, 0.2};
    return hand;
}

MarkEvidence evidence_of(const std::vector<double>& levels, double a, unsigned seed) {
    std::mt19937_64 random(support::test_seed(seed));
    MarkEvidence evidence(2048);
    evidence.reset();
    for (const auto& frame : frames_of(levels, random)) evidence.append(frame, a);
    return evidence;
}

// Dots and dashes in turn.
std::vector<double> keyed(int marks, double a) {
    std::vector<double> levels(20, 0.0);
    for (int m = 0; m < marks; ++m) {
        levels.insert(levels.end(), m % 2 == 0 ? 4U : 12U, a);
        levels.insert(levels.end(), m % 3 == 2 ? 12U : 4U, 0.0);
    }
    levels.insert(levels.end(), 20U, 0.0);
    return levels;
}

// Well over the noise it knows each frame but those at the edges.
TEST(KeyPosterior, StrongKeyingIsCertain) {
    const std::vector<double> levels = keyed(12, 3.0);
    const MarkEvidence evidence = evidence_of(levels, 3.0, 61);
    KeyPosterior key(1024);
    key.begin(0, quick_hand());
    while (key.now() < evidence.size()) key.advance(evidence);
    std::vector<float> down(levels.size());
    key.down(0, down);
    for (std::size_t i = 1; i + 1 < levels.size(); ++i) {
        if (levels[i - 1] == levels[i] && levels[i] == levels[i + 1]) {
            EXPECT_NEAR(static_cast<double>(down[i]), levels[i] > 0.0 ? 1.0 : 0.0, 0.02) << i;
        }
    }
}

// Of the frames it gives a share of p, a part p lies in marks, in bins of a tenth. The keying is
// even, not drawn from the hand's lengths, so the bound is wide.
TEST(KeyPosterior, SharesAreTrue) {
    std::array<double, 10> right{}, said{}, count{};
    for (unsigned seed = 70; seed < 90; ++seed) {
        const double a = 0.9;
        const std::vector<double> levels = keyed(40, a);
        const MarkEvidence evidence = evidence_of(levels, a, seed);
        KeyPosterior key(1024);
        key.begin(0, quick_hand());
        while (key.now() < evidence.size()) key.advance(evidence);
        std::vector<float> down(levels.size());
        key.down(0, down);
        for (std::size_t i = 0; i < levels.size(); ++i) {
            const auto p = static_cast<double>(down[i]);
            const auto bin = static_cast<std::size_t>(std::min(9.0, 10.0 * p));
            right[bin] += levels[i] > 0.0 ? 1.0 : 0.0;
            said[bin] += p;
            count[bin] += 1.0;
        }
    }
    for (std::size_t bin = 0; bin < 10; ++bin) {
        if (count[bin] > 200.0) {
            EXPECT_NEAR(right[bin] / count[bin], said[bin] / count[bin], 0.12) << bin;
        }
    }
}

// Silence is part of the sum, so that noise alone is no keying.
TEST(KeyPosterior, NoiseAloneSaysNothingIsSent) {
    const MarkEvidence evidence = evidence_of(std::vector<double>(600, 0.0), 2.0, 91);
    KeyPosterior key(1024);
    key.begin(0, quick_hand());
    while (key.now() < evidence.size()) key.advance(evidence);
    std::vector<float> down(500);
    key.down(100, down);
    double sum = 0.0;
    for (const float p : down) sum += static_cast<double>(p);
    EXPECT_LT(sum / 500.0, 0.01);
}

}  // namespace
}  // namespace skedlark::copy
