#include "dsp/copy/call_frames.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

tone::BasebandFrame frame_of(std::complex<float> z, float noise) {
    tone::BasebandFrame frame;
    frame.z = z;
    frame.noise_variance = noise;
    return frame;
}

TEST(CallFrames, NoiseHasVarianceOneAtAnyGain) {
    for (const double gain : {1e-6, 1.0, 1e4}) {
        std::mt19937_64 random(support::test_seed(11));
        std::normal_distribution<double> normal(0.0, gain * std::sqrt(0.5));
        CallFrames frames;
        double sum = 0.0;
        double weight = 0.0;
        constexpr int kFrames = 20000;
        for (int i = 0; i < kFrames; ++i) {
            const CallFrame out = frames.take(
                frame_of({static_cast<float>(normal(random)), static_cast<float>(normal(random))},
                         static_cast<float>(gain * gain)));
            sum += std::pow(double(out.re), 2) + std::pow(double(out.im), 2);
            weight += double(out.weight);
        }
        // |z|^2 is exponential: its mean over n has a standard deviation of 1 / sqrt(n).
        EXPECT_NEAR(sum / kFrames, 1.0, 4.0 / std::sqrt(kFrames)) << gain;
        EXPECT_NEAR(weight / kFrames, 1.0, 0.01);
    }
}

TEST(CallFrames, ALoudToneIsBroughtDown) {
    CallFrames frames;
    CallFrame out;
    for (int i = 0; i < 100; ++i) out = frames.take(frame_of({300.0F, 400.0F}, 1.0F));
    EXPECT_NEAR(std::hypot(double(out.re), double(out.im)), std::sqrt(kHighestFrameEnergy), 0.01);
    EXPECT_NEAR(double(out.weight), 1.0, 1e-6);
}

// The limit: a frame counts whole up to a power of kLimitLevel times the highest level and
// kLimitNoise times the noise; a louder one is weighed by limit over power, which leaves an
// amplitude of limit / size: never more than the root of the limit, and less the louder it is.
TEST(CallFrames, ACrashOfAnySizeCountsNoMoreThanTheLimit) {
    const double limit = kLimitLevel * kHighestFrameEnergy + kLimitNoise;
    for (const float size : {2.0F, 4.0F, 10.0F, 40.0F, 1e3F, 1e6F}) {
        CallFrames frames;
        for (int i = 0; i < 100; ++i) (void)frames.take(frame_of({0.1F, 0.0F}, 1.0F));
        const CallFrame out = frames.take(frame_of({size, 0.0F}, 1.0F));
        EXPECT_LE(std::hypot(double(out.re), double(out.im)), std::sqrt(limit) * (1.0 + 1e-6))
            << size;
    }
    // Where the noise is known to be louder, the weight is what is left of it.
    CallFrames frames;
    for (int i = 0; i < 100; ++i) EXPECT_GT(frames.take(frame_of({0.1F, 0.0F}, 1.0F)).weight, 0.9F);
    // The slow mean of the noise moves by 1 / kNoiseFrames of the change.
    EXPECT_NEAR(double(frames.take(frame_of({0.1F, 0.0F}, 100.0F)).weight),
                (1.0 + 99.0 / kNoiseFrames) / 100.0, 1e-6);
}

TEST(CallFrames, WhatIsNoNumberWeighsNothing) {
    CallFrames frames;
    const float nan = std::numeric_limits<float>::quiet_NaN();
    const float inf = std::numeric_limits<float>::infinity();
    tone::BasebandFrame lost = frame_of({1.0F, 0.0F}, 1.0F);
    lost.lost = true;
    for (const auto& bad : {frame_of({nan, 0.0F}, 1.0F), frame_of({inf, 0.0F}, 1.0F),
                            frame_of({1.0F, 0.0F}, nan), frame_of({1.0F, 0.0F}, 0.0F), lost}) {
        const CallFrame out = frames.take(bad);
        EXPECT_EQ(out.re, 0.0F);
        EXPECT_EQ(out.weight, 0.0F);
    }
    EXPECT_TRUE(std::isfinite(frames.take(frame_of({1.0F, 1.0F}, 1.0F)).re));
}

}  // namespace
}  // namespace skedlark::copy
