#include "dsp/bench/ring.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "tests/accuracy/bench_events/signals.h"

namespace skedlark::bench {
namespace {

constexpr double kRateHz = 48000.0;

std::vector<float> tapped(double hz, double decay_s, double over_noise_db, int taps,
                          std::uint64_t seed) {
    accuracy::BenchNoise noise;
    noise.seconds = taps + 1.0;
    noise.filter = accuracy::valve_filter();
    noise.rms = 0.005;
    noise.seed = seed;
    auto audio = accuracy::bench_noise(noise);
    accuracy::RingSignal ring;
    ring.hz = hz;
    ring.decay_s = decay_s;
    ring.over_noise_db = over_noise_db;
    for (int n = 0; n < taps; ++n) ring.at_s.push_back(0.7 + n);
    accuracy::add_ringing(audio, kRateHz, ring, seed);
    return audio;
}

TEST(Ring, FrequencyAndDecayOfFiveTaps) {
    const auto ring = measure_ring(tapped(470.0, 0.06, 20.0, 5, 1), {});
    ASSERT_TRUE(ring.ok()) << ring.error().message;
    EXPECT_EQ(ring->ringing, 5);
    ASSERT_TRUE(ring->frequency_hz.has_value());
    EXPECT_NEAR(ring->frequency_hz->value, 470.0, 4.7);
    EXPECT_NEAR(ring->decay_s->value, 0.06, 0.003);
    EXPECT_NEAR(ring->taps[2].at_s, 2.7, 0.02);
    EXPECT_NEAR(ring->over_noise_db->value, 20.0, 2.0);
}

TEST(Ring, AThumpThatDoesNotRing) {
    auto audio = tapped(470.0, 0.06, -60.0, 3, 2);
    const auto ring = measure_ring(audio, {});
    ASSERT_TRUE(ring.ok()) << ring.error().message;
    EXPECT_EQ(ring->taps.size(), 3U);
    EXPECT_FALSE(ring->frequency_hz.has_value());
}

TEST(Ring, BadInputIsNamed) {
    accuracy::BenchNoise noise;
    noise.seconds = 5.0;
    noise.filter = accuracy::valve_filter();
    const auto quiet = accuracy::bench_noise(noise);
    const auto none = measure_ring(quiet, {});
    ASSERT_FALSE(none.ok());
    EXPECT_NE(none.error().message.find("no tap"), std::string::npos);
    EXPECT_FALSE(measure_ring(std::span<const float>(quiet).first(48000), {}).ok());
    auto spoilt = quiet;
    spoilt[5] = std::numeric_limits<float>::quiet_NaN();
    EXPECT_FALSE(measure_ring(spoilt, {}).ok());
    RingConfig config;
    config.thump_s = 1.0;
    EXPECT_FALSE(measure_ring(quiet, config).ok());
    auto clipped = tapped(470.0, 0.06, 45.0, 3, 3);
    for (float& x : clipped) x = std::clamp(x, -0.02F, 0.02F);
    const auto ring = measure_ring(clipped, {});
    ASSERT_TRUE(ring.ok());
    for (const Tap& tap : ring->taps) EXPECT_TRUE(tap.clipped);
    EXPECT_FALSE(ring->frequency_hz.has_value());
}

}  // namespace
}  // namespace skedlark::bench
