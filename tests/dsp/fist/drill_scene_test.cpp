#include "dsp/fist/drill_scene.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/synth/scene.h"

namespace skedlark::fist {
namespace {

double peak_of(const std::vector<float>& audio) {
    double peak = 0.0;
    for (const float sample : audio) peak = std::max(peak, std::abs(static_cast<double>(sample)));
    return peak;
}

TEST(DrillScene, TheTextIsKeyedAtItsPaceUnderItsConditions) {
    DrillConditions conditions;
    conditions.pace = *pace_at(6.0, 16.0);
    conditions.snr_2500hz_db = 6.0;
    conditions.fading = "mid-quiet";
    conditions.neighbour_hz = 200.0;
    const auto config = drill_scene("KXQMV BTLWE", conditions, 7);
    ASSERT_TRUE(config.ok()) << config.error().message;
    const auto scene = synth::make_scene(*config);
    ASSERT_TRUE(scene.ok()) << scene.error().message;
    EXPECT_EQ(scene->truth.wanted.text, "KXQMV BTLWE");
    EXPECT_EQ(scene->truth.snr_2500hz_db, 6.0);
    ASSERT_EQ(scene->truth.neighbours.size(), 1U);
    EXPECT_FALSE(scene->truth.neighbours[0].marks.empty());
    // Dots of 16 wpm (1.2 s / 16), gaps between characters stretched far beyond three of them.
    const auto& marks = scene->truth.wanted.marks;
    EXPECT_NEAR(marks[1].off_s - marks[1].on_s, 1.2 / 16.0, 1e-9);  // K: dash, dot, dash
    EXPECT_GT(marks[3].on_s - marks[2].off_s, 3.0 * 1.2 / 16.0 * 1.5);
}

TEST(DrillScene, NeverClips) {
    for (const double snr_db : {-30.0, 0.0, 60.0}) {
        DrillConditions conditions;
        conditions.snr_2500hz_db = snr_db;
        conditions.neighbour_hz = -300.0;
        conditions.neighbour_db = 20.0;
        const auto scene = synth::make_scene(*drill_scene("QVA7 DE QXB2", conditions, 3));
        ASSERT_TRUE(scene.ok());
        EXPECT_GT(peak_of(scene->samples), 0.02) << snr_db;
        EXPECT_LT(peak_of(scene->samples), 1.0) << snr_db;
    }
}

TEST(DrillScene, WhatIsOutOfRangeIsSaid) {
    const auto said = [](auto change) {
        DrillConditions conditions;
        change(conditions);
        const auto scene = drill_scene("E", conditions, 1);
        return scene ? std::string() : scene.error().message;
    };
    EXPECT_NE(said([](auto& c) { c.snr_2500hz_db = 90.0; }).find("-30 to 60 dB"),
              std::string::npos);
    EXPECT_NE(said([](auto& c) { c.pitch_hz = 50.0; }).find("200 to 2000 Hz"), std::string::npos);
    EXPECT_NE(said([](auto& c) { c.neighbour_hz = 5000.0; }).find("-1000"), std::string::npos);
    EXPECT_NE(said([](auto& c) { c.fading = "no such"; }).find("no such"), std::string::npos);
    EXPECT_NE(said([](auto& c) { c.hand = "third"; }).find("third"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::fist
