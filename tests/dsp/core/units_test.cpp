// Sources are named beside each check; sheets: ITU-R M.1677-1, the 50-unit word PARIS.
#include "dsp/core/units.h"

#include <gtest/gtest.h>

namespace skedlark {
namespace {

// PARIS convention: 20 wpm 60 ms, 13 wpm 92.31 ms, 5 wpm 240 ms (kent-engineers.com "codespeed").
TEST(Units, DotLengthByParis) {
    EXPECT_NEAR(dit_s(20.0), 0.060, 1e-12);
    EXPECT_NEAR(dit_s(13.0), 0.09231, 5e-6);
    EXPECT_NEAR(dit_s(5.0), 0.240, 1e-12);
}

TEST(Units, SpeedAndDotAreInverse) {
    for (double wpm = kMinSpeedWpm; wpm <= kMaxSpeedWpm; wpm += 0.5) {
        EXPECT_NEAR(speed_wpm(dit_s(wpm)), wpm, 1e-9);
    }
}

// Definition of the decibel: 3.0103 dB is a power ratio of 2, 6.0206 dB an amplitude ratio of 2.
TEST(Units, Decibels) {
    EXPECT_NEAR(db_from_power(2.0), 3.0103, 1e-4);
    EXPECT_NEAR(power_from_db(3.0103), 2.0, 1e-4);
    EXPECT_NEAR(amplitude_from_db(6.0206), 2.0, 1e-4);
    EXPECT_NEAR(db_from_power(power_from_db(-17.3)), -17.3, 1e-12);
    // SNR in 2500 against 500 Hz: 6.99 dB (definition).
    EXPECT_NEAR(db_from_power(kReferenceBandwidthHz / 500.0), 6.99, 5e-3);
}

TEST(Units, FramesAndSeconds) {
    EXPECT_EQ(frames_from_seconds(1.0), 8000);
    EXPECT_EQ(frames_from_seconds(-0.5), -4000);
    EXPECT_EQ(frames_from_seconds(0.000062), 0);
    EXPECT_EQ(frames_from_seconds(0.000063), 1);
    EXPECT_EQ(frames_from_seconds(2.0, 48000.0), 96000);
    // A day of frames stays exact.
    EXPECT_EQ(frames_from_seconds(seconds_from_frames(691'200'001)), 691'200'001);
}

}  // namespace
}  // namespace skedlark
