#include "dsp/bench/contacts.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/accuracy/bench_events/signals.h"

namespace skedlark::bench {
namespace {

constexpr double kRateHz = 16000.0;

std::vector<float> valve_noise(double seconds, std::uint64_t seed) {
    accuracy::BenchNoise config;
    config.rate_hz = kRateHz;
    config.seconds = seconds;
    config.filter = accuracy::valve_filter();
    config.seed = seed;
    return accuracy::bench_noise(config);
}

ContactsConfig settings() {
    ContactsConfig config;
    config.sample_rate_hz = kRateHz;
    return config;
}

TEST(Contacts, DropoutsInNoiseWithTimeDepthAndLength) {
    auto audio = valve_noise(20.0, 1);
    accuracy::apply_gates(audio, kRateHz,
                          {{5.2, 0.002, 25.0}, {9.0, 0.020, 12.0}, {14.0, 1.5, 40.0}});
    const auto found = measure_contacts(audio, settings());
    ASSERT_TRUE(found.ok()) << found.error().message;
    EXPECT_FALSE(found->in_tone);
    ASSERT_EQ(found->events.size(), 3U);
    EXPECT_NEAR(found->events[0].at_s, 5.2, 0.0005);
    EXPECT_NEAR(found->events[0].length_s, 0.002, 0.0006);
    EXPECT_NEAR(found->events[1].depth_db.value, 12.0, 2.5);
    EXPECT_NEAR(found->events[2].length_s, 1.5, 0.001);
    EXPECT_GT(found->events[2].depth_db.value, 30.0);
}

TEST(Contacts, DropoutAndCrackleInATone) {
    auto audio = valve_noise(20.0, 2);
    accuracy::add_tone(audio, kRateHz, 0.3, 0.0, [](double t) { return 700.0 + 0.5 * t; });
    accuracy::apply_gates(audio, kRateHz, {{6.0, 0.003, 8.0}});
    std::mt19937_64 random(4);
    std::normal_distribution<float> burst(0.0F, 0.4F);
    for (std::size_t i = 0; i < 80; ++i)
        audio[static_cast<std::size_t>(12.0 * kRateHz) + i] += burst(random);
    const auto found = measure_contacts(audio, settings());
    ASSERT_TRUE(found.ok()) << found.error().message;
    EXPECT_TRUE(found->in_tone);
    ASSERT_EQ(found->events.size(), 2U);
    EXPECT_EQ(found->events[0].kind, ContactKind::dropout);
    EXPECT_NEAR(found->events[0].depth_db.value, 8.0, 2.0);
    EXPECT_EQ(found->events[1].kind, ContactKind::crackle);
    EXPECT_NEAR(found->events[1].at_s, 12.0, 0.001);
}

TEST(Contacts, AKnockOfThePitchIsNoDropout) {
    std::vector<float> audio(static_cast<std::size_t>(10.0 * kRateHz), 0.0F);
    accuracy::add_tone(audio, kRateHz, 0.3, 0.0, [](double t) { return t < 5.1 ? 700.0 : 712.0; });
    accuracy::add_noise_for(audio, kRateHz, 0.3, 30.0, 9);
    const auto found = measure_contacts(audio, settings());
    ASSERT_TRUE(found.ok()) << found.error().message;
    for (const auto& e : found->events) EXPECT_NE(e.kind, ContactKind::dropout) << e.at_s;
}

TEST(Contacts, TouchedAgainstAtRest) {
    auto audio = valve_noise(60.0, 3);
    std::vector<accuracy::Gate> gates;
    for (int n = 0; n < 12; ++n) gates.push_back({20.5 + 0.8 * n, 0.004, 30.0});
    gates.push_back({50.0, 0.004, 30.0});
    accuracy::apply_gates(audio, kRateHz, gates);
    auto config = settings();
    config.touched = {{20.0, 31.0}};
    const auto found = measure_contacts(audio, config);
    ASSERT_TRUE(found.ok());
    EXPECT_EQ(found->dropouts.touched.count, 12);
    EXPECT_EQ(found->dropouts.at_rest.count, 1);
    EXPECT_DOUBLE_EQ(found->dropouts.at_rest.seconds, 49.0);
    EXPECT_TRUE(found->dropouts.ratio.raised());
    EXPECT_FALSE(found->crackles.ratio.raised());
}

TEST(Contacts, ChatterInTheTouchedStretchDoesNotHideItself) {
    auto audio = valve_noise(12.0, 5);
    std::vector<accuracy::Gate> gates;
    for (int n = 0; n < 120; ++n) gates.push_back({6.0 + 0.04 * n, 0.012, 40.0});
    accuracy::apply_gates(audio, kRateHz, gates);
    auto config = settings();
    config.touched = {{5.9, 11.0}};
    const auto found = measure_contacts(audio, config);
    ASSERT_TRUE(found.ok());
    EXPECT_GT(found->dropouts.touched.count, 110);
}

TEST(Contacts, BadInputIsNamed) {
    EXPECT_FALSE(measure_contacts(valve_noise(2.0, 1), settings()).ok());
    auto config = settings();
    config.touched = {{1.0, 3.0}};
    config.at_rest = {{2.0, 4.0}};
    EXPECT_FALSE(measure_contacts(valve_noise(6.0, 1), config).ok());
    config = settings();
    config.least_depth_db = std::nan("");
    EXPECT_FALSE(measure_contacts(valve_noise(6.0, 1), config).ok());
    EXPECT_FALSE(measure_contacts(std::vector<float>(160000, 0.25F), settings()).ok());
    auto clipped = valve_noise(6.0, 1);
    for (float& x : clipped) x = std::clamp(100.0F * x, -1.0F, 1.0F);
    const auto refused = measure_contacts(clipped, settings());
    ASSERT_FALSE(refused.ok());
    EXPECT_NE(refused.error().message.find("clipped"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::bench
