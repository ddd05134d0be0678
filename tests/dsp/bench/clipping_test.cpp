#include "dsp/bench/clipping.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

std::vector<float> cut(std::vector<float> audio, float low, float high) {
    for (float& x : audio) x = std::clamp(x, low, high);
    return audio;
}

TEST(Clipping, CleanTonesAreNot) {
    for (const double pitch : {700.0, 701.3, 123.0, 998.7})
        EXPECT_FALSE(find_clipping(test::made({.pitch_hz = pitch})).flat_tops) << pitch;
    EXPECT_FALSE(find_clipping(test::made({.snr_db = 3.0})).flat_tops);
    // Eight values a period: two in eight samples are at the peak, and whoever knows the tone says so.
    const auto few = test::made({.pitch_hz = 1000.0, .phase_rad = 0.0});
    EXPECT_NEAR(peak_share(few), 0.25, 1e-3);
    EXPECT_FALSE(find_clipping(few, 0.25).flat_tops);
    // As loud as it may be without being cut.
    EXPECT_FALSE(find_clipping(test::made({.amplitude = 0.9999, .pitch_hz = 701.3})).flat_tops);
    EXPECT_FALSE(find_clipping(std::vector<float>(8000)).flat_tops);
    EXPECT_FALSE(find_clipping({}).flat_tops);
}

// A sine cut at the part c of its peak spends arccos(c) / pi of the time at each side.
TEST(Clipping, ShareOfACutSineInClosedForm) {
    const auto audio = test::made({.amplitude = 0.5, .pitch_hz = 701.3});
    const Clipping both = find_clipping(cut(audio, -0.4F, 0.4F));
    EXPECT_TRUE(both.flat_tops);
    EXPECT_FALSE(both.at_full_scale);
    EXPECT_NEAR(both.share, 2.0 * std::acos(0.8) / std::numbers::pi, 0.004);
    EXPECT_NEAR(both.level, 0.4, 1e-6);
    const Clipping one = find_clipping(cut(audio, -1.0F, 0.4F));
    EXPECT_TRUE(one.flat_tops);
    EXPECT_NEAR(one.share, std::acos(0.8) / std::numbers::pi, 0.002);
}

TEST(Clipping, AtFullScaleItIsTheSoundInput) {
    const auto loud = test::made({.amplitude = 1.3, .pitch_hz = 701.3});
    EXPECT_TRUE(find_clipping(cut(loud, -1.0F, 1.0F)).at_full_scale);
    // Peaks of noise only.
    const auto noisy = test::made({.amplitude = 0.5, .snr_db = 6.0});
    EXPECT_TRUE(find_clipping(cut(noisy, -1.0F, 1.0F)).at_full_scale);
}

// Cut at 48 kHz and brought to 8 kHz the tops are round again: only the higher-order harmonics that the filter
// took off made them flat. The fundamental of a hard-cut sine reaches up to 4 / pi of the cut.
TEST(Clipping, FullScaleIsFoundAfterResamplingToo) {
    auto loud = test::made({.amplitude = 1.5, .pitch_hz = 701.3});
    EXPECT_FALSE(check_full_scale(cut(loud, -1.0F, 1.0F)).ok());
    EXPECT_TRUE(check_full_scale(test::made({.amplitude = 0.9, .pitch_hz = 701.3})).ok());
    EXPECT_TRUE(check_full_scale({}).ok());
    for (float& x : loud) x *= 0.99F / 1.5F;  // round, its peaks at 0.99
    EXPECT_TRUE(check_full_scale(loud).ok());
    const auto near = check_full_scale(loud, kFullScaleResampled);
    ASSERT_FALSE(near.ok());
    EXPECT_NE(near.error().message.find("clips"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::bench
