#include "dsp/bench/contact_levels.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/bench/quadratic_tail.h"
#include "tests/accuracy/bench_events/signals.h"
#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

const std::vector<Stretch> kAll = {{0.0, 1000.0}};

TEST(ContactLevels, NoiseLevelAndSpreadAreThoseOfThePlainSums) {
    accuracy::BenchNoise noise;
    noise.rate_hz = 16000.0;
    noise.seconds = 20.0;
    noise.filter = accuracy::valve_filter();
    noise.seed = support::test_seed(3);
    const auto audio = accuracy::bench_noise(noise);
    double power = 0.0, lagged = 0.0;
    for (std::size_t i = 3; i < audio.size(); ++i) {
        power += static_cast<double>(audio[i]) * static_cast<double>(audio[i]);
        lagged += static_cast<double>(audio[i]) * static_cast<double>(audio[i - 3]);
    }
    const auto levels = measure_contact_levels(audio, 16000.0, kAll);
    ASSERT_TRUE(levels.ok()) << levels.error().message;
    EXPECT_FALSE(levels->has_tone);
    EXPECT_NEAR(levels->at(10.0).noise_power / (power / 320000.0), 1.0, 0.1);
    EXPECT_NEAR(levels->covariance[3], lagged / power, 0.02);
    EXPECT_EQ(levels->swing_nepers, 0.0);
}

TEST(ContactLevels, ToneIsFoundWithItsPitchAndAmplitude) {
    std::vector<float> audio(160000, 0.0F);
    accuracy::add_tone(audio, 16000.0, 0.2, 0.0, [](double) { return 713.0; });
    accuracy::add_noise_for(audio, 16000.0, 0.2, 20.0, 4);
    const auto levels = measure_contact_levels(audio, 16000.0, kAll);
    ASSERT_TRUE(levels.ok());
    EXPECT_TRUE(levels->has_tone);
    EXPECT_NEAR(levels->pitch_hz, 713.0, 0.3);
    EXPECT_NEAR(levels->at(5.0).tone_amplitude, 0.2, 0.004);
}

TEST(ContactLevels, NoiseOfTheAirIsSeenToSwing) {
    accuracy::BenchNoise noise;
    noise.rate_hz = 16000.0;
    noise.dirt.vd_db = 4.0;
    const auto levels = measure_contact_levels(accuracy::bench_noise(noise), 16000.0, kAll);
    ASSERT_TRUE(levels.ok());
    EXPECT_GT(levels->swing_nepers, 0.5);
}

TEST(ContactLevels, TwoTonesAndHumAreRefused) {
    std::vector<float> two(160000, 0.0F);
    accuracy::add_tone(two, 16000.0, 0.2, 0.0, [](double) { return 713.0; });
    accuracy::add_tone(two, 16000.0, 0.15, 0.0, [](double) { return 1010.0; });
    accuracy::add_noise_for(two, 16000.0, 0.2, 20.0, 4);
    const auto refused = measure_contact_levels(two, 16000.0, kAll);
    ASSERT_FALSE(refused.ok());
    EXPECT_NE(refused.error().message.find("two tones"), std::string::npos);

    std::vector<float> hum(160000, 0.0F);
    accuracy::add_tone(hum, 16000.0, 0.2, 0.0, [](double) { return 100.0; });
    accuracy::add_noise_for(hum, 16000.0, 0.2, 20.0, 4);
    const auto drowned = measure_contact_levels(hum, 16000.0, kAll);
    ASSERT_FALSE(drowned.ok());
    EXPECT_NE(drowned.error().message.find("hum"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::bench
