#include "dsp/copy/gain_scores.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "dsp/copy/gain_tracker.h"
#include "tests/dsp/copy/gaussian_gain.h"
#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

using test::frames_of;

// Marks of 12 frames with gaps of 12 between, and what is foreseen at all boundaries.
struct Keyed {
    std::vector<double> levels;
    std::vector<float> down;
    MarkEvidence evidence{1024};
    GainTracker tracker;
};

void key(Keyed& keyed, int frames, double a, unsigned seed) {
    for (int i = 0; i < frames; ++i) {
        const bool on = (i / 12) % 2 == 1;
        keyed.levels.push_back(on ? a : 0.0);
        keyed.down.push_back(on ? 1.0F : 0.0F);
    }
    std::mt19937_64 random(support::test_seed(seed));
    keyed.evidence.reset();
    for (const auto& frame : frames_of(keyed.levels, random)) {
        keyed.evidence.append(frame, a);
    }
    keyed.tracker.begin(0);
    keyed.tracker.follow(keyed.evidence, keyed.down, frames, a * a);
}

// All beginnings at once score as each mark alone.
TEST(GainScores, ManyAreThoseOfEach) {
    for (const double a : {0.3, 1.0, 12.0}) {
        Keyed keyed;
        key(keyed, 800, a, 21);
        GainScores scores;
        scores.begin(0);
        const int longest = 70;
        for (int to = 1; to <= 800; ++to) {
            scores.advance(keyed.evidence, longest);
            for (int length = 1; length <= std::min(to, longest); length += 3) {
                const double one = keyed.evidence.carried(to - length, to);
                EXPECT_NEAR(static_cast<double>(scores.scores()[length]), one,
                            1e-3 + 1e-5 * std::abs(one))
                    << a << " " << to << " " << length;
            }
            EXPECT_EQ(scores.scores()[longest + 1], kNotCarried);
        }
    }
}

// The score of a mark is the likelihood of its frames given the marks before and after it, by the
// whole Gaussian over all of them (Eigen).
TEST(GainScores, AreTheWholeGaussian) {
    Keyed keyed;
    key(keyed, 96, 0.7, 22);
    const MarkEvidence& evidence = keyed.evidence;
    const double b = keyed.tracker.changes_per_s() / tone::kBasebandRateHz;
    for (const auto& [from, to] : {std::pair{36, 48}, {38, 48}, {36, 41}, {60, 72}, {26, 34}}) {
        test::GaussianGain others(b, 0.49), all = others;
        // Frames beside a gap are left out of what the marks around say.
        const auto down = [&](int i) {
            return keyed.down[std::max(0, i - 1)] > 0.5F && keyed.down[i] > 0.5F &&
                   keyed.down[std::min(95, i + 1)] > 0.5F;
        };
        for (int i = 0; i < 96; ++i) {
            const bool inside = i >= from && i < to;
            const auto& [z, noise] = evidence.heard(i);
            if (!inside && down(i)) others.hear(i, z, noise);
            if (inside || down(i)) all.hear(i, z, noise);
        }
        EXPECT_NEAR(evidence.carried(from, to), all.log_ratio() - others.log_ratio(), 1e-6)
            << from << " " << to;
    }
}

// A copy goes on as the first would have.
TEST(GainScores, GoBackToACopy) {
    Keyed keyed;
    key(keyed, 400, 1.0, 23);
    GainScores scores;
    scores.begin(0);
    for (int i = 0; i < 200; ++i) scores.advance(keyed.evidence, 50);
    const GainScores kept = scores;
    for (int i = 0; i < 100; ++i) scores.advance(keyed.evidence, 50);
    const std::vector<float> once(scores.scores().begin(), scores.scores().end());
    scores = kept;
    EXPECT_EQ(scores.now(), 200);
    for (int i = 0; i < 100; ++i) scores.advance(keyed.evidence, 50);
    EXPECT_EQ(once, std::vector<float>(scores.scores().begin(), scores.scores().end()));
}

TEST(GainScores, AdvanceDoesNotAllocate) {
    Keyed keyed;
    key(keyed, 100, 1.0, 24);
    GainScores scores;
    scores.begin(0);
    const support::AllocationCount count;
    for (int i = 0; i < 100; ++i) scores.advance(keyed.evidence, 50);
    EXPECT_EQ(count.made(), 0);
}

}  // namespace
}  // namespace skedlark::copy
