#include "dsp/tone/tone_list.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::tone {
namespace {

std::optional<double> no_image(double, double) { return 1.0; }

Line line_at(double hz, double power, FrameIndex at = 8000) {
    Line line;
    line.pitch_hz = hz;
    line.carrier_power = power;
    line.ratio = power;
    line.window_s = 4.5;
    line.odds = 1e-6;
    line.at_frame = at;
    return line;
}

TEST(ToneList, EachToneOnceWithItsNumber) {
    ToneList list;
    EXPECT_EQ(list.take(line_at(700.0, 100.0), no_image)->found.event.tone, 1);
    EXPECT_EQ(list.take(line_at(700.4, 100.0, 16000), no_image)->found.event.tone, 1);
    EXPECT_EQ(list.take(line_at(1200.0, 50.0, 16000), no_image)->found.event.tone, 2);
    ASSERT_EQ(list.tones().size(), 2U);
    EXPECT_NEAR(list.tones()[0].found.event.pitch_hz, 700.4, 1e-9);
}

TEST(ToneList, SideBandsWithAMirrorImageAreTheTones) {
    ToneList list;
    list.take(line_at(700.0, 1000.0), no_image);
    const auto image = [](double hz, double) -> std::optional<double> {
        return std::abs(hz - 670.0) < 0.5 ? 25.0 : 1.0;
    };
    EXPECT_EQ(list.take(line_at(730.0, 30.0), image), nullptr);
    EXPECT_NE(list.take(line_at(745.0, 30.0), image), nullptr)
        << "a station beside it has no image";
}

TEST(ToneList, HarmonicsAndHumLinesAreTheTones) {
    ToneList list;
    list.take(line_at(700.0, 1000.0), no_image);
    EXPECT_EQ(list.take(line_at(1400.3, 100.0), no_image), nullptr);
    EXPECT_EQ(list.take(line_at(2100.0, 100.0), no_image), nullptr);
    EXPECT_EQ(list.take(line_at(800.2, 100.0), no_image), nullptr);
    EXPECT_NE(list.take(line_at(1400.0, 900.0), no_image), nullptr) << "too strong for a harmonic";
    // The neighbour of the specification: 100 Hz off and 2 dB weaker is a station.
    EXPECT_NE(list.take(line_at(600.0, 630.0), no_image), nullptr);
}

TEST(ToneList, ClicksOutsideTheSearchedAudioGoByLevel) {
    ToneList list;
    list.take(line_at(700.0, 1e6), no_image);
    const auto outside = [](double, double) { return std::optional<double>(); };
    EXPECT_EQ(list.take(line_at(1850.0, 1e2), outside), nullptr);
    EXPECT_NE(list.take(line_at(1850.0, 1e4), outside), nullptr);
}

TEST(ToneList, AWeakPartNearByDoesNotPullThePitch) {
    ToneList list;
    list.take(line_at(700.0, 1000.0), no_image);
    EXPECT_NE(list.take(line_at(706.0, 50.0, 16000), no_image), nullptr);
    EXPECT_NEAR(list.tones()[0].found.event.pitch_hz, 700.0, 1e-9);
}

TEST(ToneList, TwoTonesThatMeetBecomeTheFirst) {
    ToneList list;
    list.take(line_at(700.0, 1000.0), no_image);
    list.take(line_at(712.0, 900.0), no_image);
    ASSERT_EQ(list.tones().size(), 2U);
    list.take(line_at(707.0, 1000.0, 16000), no_image);
    list.forget_before(0);
    EXPECT_EQ(list.tones().size(), 1U);
    EXPECT_NE(list.take(line_at(707.0, 1000.0, 24000), no_image), nullptr);
}

TEST(ToneList, ForgetsAndClears) {
    ToneList list;
    list.take(line_at(700.0, 1000.0, 8000), no_image);
    list.take(line_at(1000.0, 1000.0, 80000), no_image);
    list.forget_before(40000);
    ASSERT_EQ(list.tones().size(), 1U);
    EXPECT_NEAR(list.tones()[0].found.event.pitch_hz, 1000.0, 1e-9);
    list.clear();
    EXPECT_EQ(list.take(line_at(700.0, 1.0), no_image)->found.event.tone, 1);
}

TEST(ToneList, SideBandMaskFallsWithTheSquareOfTheDistance) {
    EXPECT_TRUE(belongs_to(700.0, 710.0, 0.05, 4.5));
    EXPECT_FALSE(belongs_to(700.0, 775.0, 0.05, 4.5));
    EXPECT_TRUE(belongs_to(700.0, 775.0, 0.001, 4.5));
}

}  // namespace
}  // namespace skedlark::tone
