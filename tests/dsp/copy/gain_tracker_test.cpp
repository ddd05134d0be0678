#include "dsp/copy/gain_tracker.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

// A gain that is a sum of many slow turns, as fading is: power 1, changes of so many hertz (standard
// deviation of the Doppler spectrum; the model's speed of change is no such thing).
std::vector<std::complex<double>> fading_gain(int frames, double spread_hz,
                                              std::mt19937_64& random) {
    constexpr int kPaths = 30;
    std::normal_distribution<double> normal;
    std::vector<std::complex<double>> gain(static_cast<std::size_t>(frames));
    for (int path = 0; path < kPaths; ++path) {
        const std::complex<double> size(normal(random), normal(random));
        const double turn = 2.0 * std::numbers::pi * spread_hz * normal(random) / 200.0;
        for (int i = 0; i < frames; ++i) {
            gain[static_cast<std::size_t>(i)] +=
                size * std::polar(std::sqrt(0.5 / kPaths), turn * i);
        }
    }
    return gain;
}

struct Heard {
    std::vector<std::complex<double>> gain;
    std::vector<float> down;
    MarkEvidence evidence{8192};
};

void hear(Heard& heard, double spread_hz, double noise, unsigned seed) {
    constexpr int kFrames = 4000;
    std::mt19937_64 random(support::test_seed(seed));
    std::normal_distribution<double> normal(0.0, std::sqrt(0.5 * noise));
    heard.gain = fading_gain(kFrames, spread_hz, random);
    heard.evidence.reset();
    for (int i = 0; i < kFrames; ++i) {
        const bool on = (i / 13) % 2 == 1;
        heard.down.push_back(on ? 1.0F : 0.0F);
        tone::BasebandFrame frame;
        frame.noise_variance = static_cast<float>(noise);
        const std::complex<double> z = (on ? heard.gain[static_cast<std::size_t>(i)] : 0.0) +
                                       std::complex<double>(normal(random), normal(random));
        frame.z = std::complex<float>(z);
        heard.evidence.append(frame, 1.0);
    }
}

// Window after window, as the copier calls it.
void follow(GainTracker& tracker, Heard& heard, std::int64_t hop, std::int64_t ahead) {
    tracker.begin(0);
    const auto frames = static_cast<std::int64_t>(heard.down.size());
    while (tracker.settled() + hop + ahead <= frames) {
        tracker.follow(heard.evidence,
                       std::span(heard.down)
                           .subspan(static_cast<std::size_t>(tracker.settled()),
                                    static_cast<std::size_t>(hop + ahead)),
                       hop, 1.0);
    }
}

// The variance it claims for the gain foreseen at a boundary is the variance it has, on both sides
// of the truth by no more than the model's own roughness: mean square error over claimed variance.
TEST(GainTracker, ClaimsWhatItKnows) {
    for (const double spread_hz : {0.05, 0.25, 0.5}) {
        double sum = 0.0, count = 0.0;
        for (const unsigned seed : {31U, 32U, 33U, 34U}) {
            Heard heard;
            hear(heard, spread_hz, 0.02, seed);
            GainTracker tracker;
            follow(tracker, heard, 50, 200);
            for (std::int64_t t = 1000; t < tracker.settled(); t += 26) {
                const GainState& before = heard.evidence.gain_before(t);
                const std::complex<double> off =
                    std::complex<double>(before.gain_re, before.gain_im) -
                    heard.gain[static_cast<std::size_t>(t)];
                sum += std::norm(off) / before.gain_gain;
                count += 1.0;
            }
        }
        EXPECT_GT(sum / count, 0.1) << spread_hz;
        EXPECT_LT(sum / count, 2.0) << spread_hz;
    }
}

// A tone that stands still is followed by the slowest, one that fades fast by a faster one.
TEST(GainTracker, ChoosesTheSpeedOfChange) {
    Heard still, fast;
    hear(still, 0.0, 0.5, 41);
    hear(fast, 0.5, 0.02, 42);
    GainTracker tracker;
    follow(tracker, still, 50, 200);
    EXPECT_EQ(tracker.changes_per_s(), GainTracker::kChangesPerS.front());
    follow(tracker, fast, 50, 200);
    EXPECT_GE(tracker.changes_per_s(), 2.0);
}

// What is foreseen before a boundary does not depend on how the time was cut up.
TEST(GainTracker, HopsDoNotMatter) {
    Heard once, often;
    hear(once, 0.25, 0.1, 51);
    hear(often, 0.25, 0.1, 51);
    GainTracker one, many;
    follow(one, once, 1000, 200);
    follow(many, often, 100, 200);
    ASSERT_EQ(one.changes_per_s(), many.changes_per_s());
    for (std::int64_t t = 2000; t < 3000; t += 7) {
        EXPECT_NEAR(once.evidence.gain_before(t).gain_re, often.evidence.gain_before(t).gain_re,
                    1e-9);
        EXPECT_NEAR(once.evidence.gain_before(t).gain_gain, often.evidence.gain_before(t).gain_gain,
                    1e-12);
    }
}

// A tone 0.1 Hz beside the pitch that was taken to 0 Hz turns by 2 pi 0.1 / 200 a frame; in noise of
// 0.02 a mark of 13 frames tells its phase to 0.03 rad, hundreds of them the turn to some 1e-5.
TEST(GainTracker, TellsHowFastTheGainTurns) {
    for (const double beside_hz : {0.1, -0.05, 0.0}) {
        const double turn = 2.0 * std::numbers::pi * beside_hz / 200.0;
        Heard heard;
        hear(heard, 0.0, 0.02, 41);
        MarkEvidence turned(8192);
        for (std::int64_t i = 0; i < heard.evidence.size(); ++i) {
            tone::BasebandFrame frame = heard.evidence.frame(i);
            frame.z *= std::complex<float>(std::polar(1.0, turn * static_cast<double>(i)));
            turned.append(frame, 1.0);
        }
        heard.evidence = turned;
        GainTracker tracker;
        follow(tracker, heard, 50, 200);
        EXPECT_NEAR(tracker.turn_since_begin(), turn, 3e-4) << beside_hz;
        EXPECT_NEAR(tracker.turn_lately(), turn, 1e-3) << beside_hz;
    }
}

}  // namespace
}  // namespace skedlark::copy
