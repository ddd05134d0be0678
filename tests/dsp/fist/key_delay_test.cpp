#include "dsp/fist/key_delay.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "dsp/core/units.h"

namespace skedlark::fist {
namespace {

std::vector<KeyMark> presses() {
    std::vector<KeyMark> out;
    for (int i = 0; i < 10; ++i) out.push_back({50.0 + 0.3 * i, 50.0 + 0.3 * i + 0.1});
    return out;
}

// A tone of 600 Hz for every mark, each by its own delay.
template <typename DelayOf>
std::vector<float> sounded(const std::vector<KeyMark>& marks, double from_s, DelayOf delay_of) {
    std::vector<float> audio(static_cast<std::size_t>(5.0 * kWorkRateHz), 0.0F);
    for (std::size_t i = 0; i < marks.size(); ++i) {
        const double delay_s = delay_of(i);
        const auto on = static_cast<std::size_t>((marks[i].on_s + delay_s - from_s) * kWorkRateHz);
        const auto off =
            static_cast<std::size_t>((marks[i].off_s + delay_s - from_s) * kWorkRateHz);
        for (std::size_t n = on; n < off; ++n)
            audio[n] = static_cast<float>(0.1 * std::sin(2.0 * std::numbers::pi * 600.0 *
                                                         static_cast<double>(n) / kWorkRateHz));
    }
    return audio;
}

TEST(KeyDelay, IsTheDelayThatWasMade) {
    const auto marks = presses();
    const auto delay =
        key_delay(marks, sounded(marks, 49.0, [](std::size_t) { return 0.0345; }), 49.0);
    ASSERT_TRUE(delay.ok()) << delay.error().message;
    EXPECT_EQ(delay->edges, 20);
    EXPECT_NEAR(delay->mean_s, 0.0345, 0.001);
    EXPECT_LT(delay->sd_s, 0.001);
    EXPECT_LT(delay->worst_length_s, 0.001);
}

TEST(KeyDelay, WhatSwaysIsTold) {
    const auto marks = presses();
    // Every other one 10 ms later: a standard deviation of 5 ms.
    const auto delay = key_delay(
        marks, sounded(marks, 49.0, [](std::size_t i) { return i % 2 == 0 ? 0.03 : 0.04; }), 49.0);
    ASSERT_TRUE(delay.ok());
    EXPECT_NEAR(delay->mean_s, 0.035, 0.001);
    EXPECT_NEAR(delay->sd_s, 0.005, 0.001);
}

TEST(KeyDelay, SilenceAndMissingMarksAreSaid) {
    const auto marks = presses();
    EXPECT_FALSE(key_delay(marks, std::vector<float>(40000, 0.0F), 49.0).ok());
    EXPECT_FALSE(key_delay(marks, {}, 49.0).ok());
    const std::vector<KeyMark> some(marks.begin(), marks.begin() + 8);
    const auto heard =
        key_delay(marks, sounded(some, 49.0, [](std::size_t) { return 0.03; }), 49.0);
    ASSERT_FALSE(heard.ok());
    EXPECT_NE(heard.error().message.find("10 times and heard 8 times"), std::string::npos)
        << heard.error().message;
}

}  // namespace
}  // namespace skedlark::fist
