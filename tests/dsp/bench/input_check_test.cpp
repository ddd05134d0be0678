#include "dsp/bench/input_check.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace skedlark::bench {
namespace {

std::vector<float> sine(double amplitude, double limit) {
    std::vector<float> audio(8000);
    for (std::size_t i = 0; i < audio.size(); ++i) {
        const double x =
            amplitude * std::sin(2.0 * std::numbers::pi * 441.0 * static_cast<double>(i) / 8000.0);
        audio[i] = static_cast<float>(std::clamp(x, -limit, limit));
    }
    return audio;
}

TEST(InputCheck, SaysHowLongIsNeeded) {
    const auto status = check_audio(sine(0.5, 1.0), 8000.0, 5.0);
    ASSERT_FALSE(status.ok());
    EXPECT_EQ(status.error().message, "audio: 1.000 s are too short; at least 5 s are needed");
    EXPECT_TRUE(check_audio(sine(0.5, 1.0), 8000.0, 1.0).ok());
}

TEST(InputCheck, NoNumberAndSilenceAreNamed) {
    auto audio = sine(0.5, 1.0);
    audio[4000] = std::numeric_limits<float>::quiet_NaN();
    const auto status = check_audio(audio, 8000.0, 0.5);
    ASSERT_FALSE(status.ok());
    EXPECT_EQ(status.error().message, "audio: the sample at 0.5000 s is no number");
    EXPECT_FALSE(check_audio(std::vector<float>(8000, 0.0F), 8000.0, 0.5).ok());
    EXPECT_FALSE(check_audio(audio, std::nan(""), 0.5).ok());
}

TEST(InputCheck, ClippingIsToldFromACrest) {
    EXPECT_TRUE(check_clipping(sine(0.99, 1.0)).ok());
    const auto status = check_clipping(sine(1.3, 1.0));
    ASSERT_FALSE(status.ok());
    EXPECT_NE(status.error().message.find("clipped"), std::string::npos);
}

TEST(InputCheck, StretchesStandInOrderInsideTheRecording) {
    EXPECT_TRUE(check_stretches("touched", {{1.0, 2.0}, {2.0, 3.0}}, 3.0).ok());
    EXPECT_FALSE(check_stretches("touched", {{1.0, 2.0}, {1.5, 3.0}}, 3.0).ok());
    EXPECT_FALSE(check_stretches("touched", {{2.0, 1.0}}, 3.0).ok());
    EXPECT_FALSE(check_stretches("touched", {{1.0, 4.0}}, 3.0).ok());
    EXPECT_FALSE(check_stretches("touched", {{std::nan(""), 2.0}}, 3.0).ok());
}

}  // namespace
}  // namespace skedlark::bench
