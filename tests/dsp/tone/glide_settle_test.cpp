#include "dsp/tone/glide_settle.h"

#include <gtest/gtest.h>

#include "tests/dsp/tone/glide_signal.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

GlideFind find_at(double zero_beat_s, double snr_2500hz_db, std::optional<bool> keyed) {
    std::vector<GlideMeasurement> measured;
    for (double away_s = -2.5; away_s <= 2.5; away_s += 0.05)
        if (std::abs(away_s) > 0.3) measured.push_back({zero_beat_s + away_s, -1000.0 * away_s, 3});
    GlideFind find{{}, GlideTrack(measured, 1000.0), {}};
    find.contrast = 0.2;
    find.station.zero_beat_s = zero_beat_s;
    find.station.rate_hz_per_s = 1000.0;
    find.station.snr_2500hz_db = snr_2500hz_db;
    find.station.keyed = keyed;
    find.station.from_s = zero_beat_s - 2.5;
    find.station.to_s = zero_beat_s + 2.5;
    return find;
}

TEST(GlideSettle, StationsStandInOrderOfZeroBeat) {
    GlideSettle settle(200.0, 3000.0);
    settle.add(find_at(20.0, 0.0, true));
    settle.add(find_at(10.0, -5.0, true));
    settle.add(find_at(20.6, -10.0, std::nullopt));
    const auto stations = settle.stations();
    ASSERT_EQ(stations.size(), 3U);
    EXPECT_EQ(stations[0].zero_beat_s, 10.0);
    EXPECT_EQ(stations[2].zero_beat_s, 20.6);
}

TEST(GlideSettle, WhatAClearStationPutsBesideItselfIsNone) {
    GlideSettle settle(200.0, 3000.0);
    settle.add(find_at(20.0, 30.0, true));
    settle.add(find_at(20.05, 10.0, true));   // another path to the same zero beat
    settle.add(find_at(20.25, -20.0, true));  // its key clicks
    auto other_pace = find_at(20.9, 20.0, true);
    other_pace.station.rate_hz_per_s = 2000.0;
    settle.add(other_pace);
    auto crack = find_at(40.0, 10.0, true);
    crack.contrast = 0.9;
    settle.add(crack);
    EXPECT_EQ(settle.stations().size(), 1U);
}

TEST(GlideSettle, BroadcastsTakeTheirSideBandsWithThem) {
    GlideSettle settle(200.0, 3000.0);
    auto broadcast = find_at(20.0, 20.0, false);
    broadcast.side_likeness = 9.0;
    settle.add(broadcast);
    settle.add(find_at(21.3, 5.0, true));
    settle.add(find_at(27.0, 5.0, true));
    const auto stations = settle.stations();
    ASSERT_EQ(stations.size(), 2U);
    EXPECT_TRUE(stations[0].broadcast);
    EXPECT_EQ(stations[1].zero_beat_s, 27.0);
    // What is keyed is none, however alike its key clicks are.
    GlideSettle keyed(200.0, 3000.0);
    auto clicks = find_at(20.0, 20.0, true);
    clicks.side_likeness = 9.0;
    keyed.add(clicks);
    EXPECT_FALSE(keyed.stations().front().broadcast);
}

// Side bands of amplitude modulation are mirror images (textbook); those of noise are not.
TEST(GlideSettle, ModulationMakesTheSidesAlike) {
    std::mt19937_64 random(support::test_seed(81));
    GlideSignal signal;
    signal.amplitude = 0.3;
    const auto audio = make_glide(signal, random);
    auto modulated = audio;
    for (std::size_t n = 0; n < modulated.size(); ++n) {
        const double at_s = static_cast<double>(n) / kWorkRateHz;
        const double tone_hz = 300.0 + 100.0 * std::floor(std::fmod(at_s, 0.8) / 0.1);
        modulated[n] *=
            static_cast<float>(1.0 + 0.5 * std::cos(2.0 * std::numbers::pi * tone_hz * at_s));
    }
    std::vector<GlideMeasurement> measured;
    for (double at_s = 3.2; at_s < 8.8; at_s += 0.05)
        if (std::abs(at_s - 6.0) > 0.25) measured.push_back({at_s, 1000.0 * (6.0 - at_s), 3.0});
    const GlideTrack track(measured, 1000.0);
    const auto likeness = [&](const std::vector<float>& heard) {
        GlideLooks looks({3000.0, 0.1, {1000.0}});
        looks.process(heard);
        looks.finish();
        return side_likeness(looks, track, 200.0, 3000.0);
    };
    EXPECT_LT(std::abs(likeness(audio)), 4.0);
    EXPECT_GT(likeness(modulated), 8.0);
}

}  // namespace
}  // namespace skedlark::tone
