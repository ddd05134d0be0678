#include "dsp/bench/tone_track.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

using test::made;
using test::TestTone;

std::string refusal(const std::vector<float>& audio, const ToneTrackConfig& config = {}) {
    const auto track = track_tone(audio, 8000.0, config);
    return track ? "" : track.error().message;
}

TEST(ToneTrack, ASteadyToneIsTakenOutWhole) {
    const auto audio = made({.drift_hz_per_s = 0.2});
    const auto track = track_tone(audio, 8000.0, {});
    ASSERT_TRUE(track) << track.error().message;
    EXPECT_FALSE(track->wanders());
    EXPECT_NEAR(track->power, 0.045, 1e-6);
    const auto rest = track->removed(audio);
    double square = 0.0;
    for (std::size_t n = 4000; n + 4000 < rest.size(); ++n)
        square += static_cast<double>(rest[n]) * static_cast<double>(rest[n]);
    // 90 dB below the tone.
    EXPECT_LT(square / static_cast<double>(rest.size() - 8000), 0.045e-9);
}

TEST(ToneTrack, WanderIsMeasuredAndCountsAsTheTones) {
    // Phase modulation of 0.05 rad at 3 Hz: two sidebands, together 0.05^2 / 2 of the tone (Bessel,
    // small index).
    auto audio = made({.snr_db = 30.0});
    const auto noise = made({.snr_db = 30.0});
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double t = (static_cast<double>(n) - 39999.5) / 8000.0;
        const double phase = 2.0 * std::numbers::pi * 700.0 * t + 0.4;
        const double turn = 0.05 * std::sin(2.0 * std::numbers::pi * 3.0 * t);
        audio[n] += static_cast<float>(0.3 * (std::cos(phase + turn) - std::cos(phase)));
    }
    const auto track = track_tone(audio, 8000.0, {});
    ASSERT_TRUE(track);
    EXPECT_TRUE(track->wanders());
    EXPECT_NEAR(track->wander_power / track->power, 0.5 * 0.05 * 0.05, 1e-4);
    EXPECT_NEAR(track->power, 0.045, 1e-4);
    const auto plain = track_tone(noise, 8000.0, {});
    ASSERT_TRUE(plain);
    EXPECT_FALSE(plain->wanders());
}

TEST(ToneTrack, FollowsWhatLeavesTheNotch) {
    // 15 Hz to and fro in 8 s.
    std::vector<float> audio(80000);
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double t = static_cast<double>(n) / 8000.0;
        const double turns = 700.0 * t + 15.0 * 8.0 / (2.0 * std::numbers::pi) *
                                             std::sin(2.0 * std::numbers::pi * t / 8.0);
        audio[n] = static_cast<float>(0.3 * std::cos(2.0 * std::numbers::pi * turns));
    }
    const auto track = track_tone(audio, 8000.0, {});
    ASSERT_TRUE(track) << track.error().message;
    EXPECT_TRUE(track->followed);
    EXPECT_NEAR(track->power, 0.045, 0.0005);
}

// AM of 10 % at 50 Hz: two sidebands, each 0.05 of the tone, -26.02 dB.
TEST(ToneTrack, SidebandsOfHumAreTold) {
    auto audio = made({.snr_db = 40.0});
    for (std::size_t n = 0; n < audio.size(); ++n) {
        audio[n] *= static_cast<float>(
            1.0 + 0.1 * std::cos(2.0 * std::numbers::pi * 50.0 * static_cast<double>(n) / 8000.0));
    }
    const auto track = track_tone(audio, 8000.0, {});
    ASSERT_TRUE(track) << track.error().message;
    ASSERT_EQ(track->others.size(), 1U);
    EXPECT_NEAR(std::abs(track->others[0].frequency_hz - 700.0), 50.0, 0.1);
    EXPECT_NEAR(track->others[0].to_tone_db, -26.02, 0.3);
}

TEST(ToneTrack, WhatCannotBeMeasuredIsSaid) {
    EXPECT_NE(refusal(made({.seconds = 1.0})).find("too short"), std::string::npos);
    EXPECT_NE(refusal(made({.seconds = 1.0})).find("3 s"), std::string::npos);
    EXPECT_NE(refusal(made({.pitch_hz = 2990.0}), {.band = {300.0, 3000.0}}).find("edge"),
              std::string::npos);
    EXPECT_NE(refusal(made({.pitch_hz = 100.0})).find("edge"), std::string::npos);
    EXPECT_FALSE(refusal(made({.pitch_hz = 900.0, .drift_hz_per_s = 20.0})).empty());
    auto two = made({.snr_db = 30.0});
    const auto second = made({.amplitude = 0.15, .pitch_hz = 731.0});
    for (std::size_t n = 0; n < two.size(); ++n) two[n] += second[n];
    EXPECT_NE(refusal(two).find("731 Hz"), std::string::npos) << refusal(two);
    EXPECT_NE(refusal(made({}), {.notch_hz = 500.0}).find("notch"), std::string::npos);
    std::vector<float> keyed = made({.snr_db = 30.0});
    for (std::size_t n = 0; n < keyed.size(); ++n) keyed[n] *= n / 2000 % 2 == 0 ? 1.0F : 0.02F;
    EXPECT_NE(refusal(keyed).find("comes and goes"), std::string::npos) << refusal(keyed);
    EXPECT_FALSE(refusal(std::vector<float>(80000)).empty());
    EXPECT_FALSE(refusal(std::vector<float>(80000, 0.5F)).empty());
}

}  // namespace
}  // namespace skedlark::bench
