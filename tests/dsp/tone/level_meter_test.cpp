#include "dsp/tone/level_meter.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

double level_db(double snr_a_squared_over_v, double share, std::uint64_t seed) {
    std::mt19937_64 random(support::test_seed(seed));
    std::normal_distribution<float> normal(0.0F, std::sqrt(0.5F));
    LevelMeter meter;
    const auto amplitude = static_cast<float>(std::sqrt(snr_a_squared_over_v));
    for (int n = 0; n < 8000; ++n) {
        BasebandFrame frame;
        const bool down = n % 40 < static_cast<int>(40.0 * share);
        frame.z = {normal(random) + (down ? amplitude : 0.0F), normal(random)};
        meter.add(frame);
    }
    return 10.0 * std::log10(meter.amplitude_squared() / snr_a_squared_over_v);
}

// Over 20 s; at 0 dB a frame (-11 dB in 2500 Hz) the share of 44 % is mostly taken on trust.
TEST(LevelMeter, ReadsTheKeyDownLevel) {
    EXPECT_NEAR(level_db(100.0, 0.45, 101), 0.0, 0.2);
    EXPECT_NEAR(level_db(100.0, 0.25, 102), 0.0, 0.2);
    EXPECT_NEAR(level_db(100.0, 1.0, 103), 0.0, 0.2);
    EXPECT_NEAR(level_db(1.0, 0.45, 104), 0.0, 1.0);
}

TEST(LevelMeter, NothingHeardIsZeroAndLostFramesDoNotCount) {
    LevelMeter meter;
    EXPECT_EQ(meter.amplitude_squared(), 0.0);
    BasebandFrame frame;
    frame.z = {100.0F, 0.0F};
    frame.lost = true;
    meter.add(frame);
    frame.lost = false;
    frame.noise_variance = 0.0F;
    meter.add(frame);
    EXPECT_EQ(meter.amplitude_squared(), 0.0);
}

TEST(LevelMeter, ACrashWeighsLittle) {
    LevelMeter meter;
    BasebandFrame frame;
    for (int n = 0; n < 1000; ++n) {
        frame.noise_variance = n % 20 == 0 ? 1000.0F : 0.01F;
        frame.z = {n % 20 == 0 ? 30.0F : 1.0F, 0.0F};
        meter.add(frame);
    }
    EXPECT_NEAR(meter.amplitude_squared(), 1.0, 0.05);
    meter.reset();
    EXPECT_EQ(meter.amplitude_squared(), 0.0);
}

}  // namespace
}  // namespace skedlark::tone
