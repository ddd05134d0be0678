// Against PARIS and CODEX (50 and 60 units) and worked sums.
#include "dsp/station/air_time.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

namespace skedlark::station {
namespace {

TEST(AirTime, StandardWords) {
    // 20 wpm: 20 times PARIS a minute, its closing gap counted.
    EXPECT_NEAR(*air_time_s("PARIS", *hand_at_speed(20.0)), 3.0, 1e-12);
    EXPECT_NEAR(*air_time_s("CODEX", *hand_at_speed(20.0)), 3.6, 1e-12);
    EXPECT_NEAR(*air_time_s("PARIS PARIS", *hand_at_speed(12.0)), 10.0, 1e-12);
    EXPECT_DOUBLE_EQ(*air_time_s("", *hand_at_speed(12.0)), 0.0);
    for (const double speed_wpm : {4.0, 13.5, 60.0}) {
        EXPECT_NEAR(speed_of(*hand_at_speed(speed_wpm)), speed_wpm, 1e-9);
    }
}

// The parts of PARIS are 10 dots, 4 dashes, 9 inner gaps, 4 character gaps and a word gap
// (kent-engineers.com "codespeed" gives 10, 12, 9, 12, 7 units).
TEST(AirTime, AHandWithItsOwnLengths) {
    const HandLengths hand{0.09, 0.33, 0.08, 0.40, 1.1};
    EXPECT_NEAR(*air_time_s("PARIS", hand), 10 * 0.09 + 4 * 0.33 + 9 * 0.08 + 4 * 0.40 + 1.1,
                1e-12);
}

TEST(AirTime, WhatWasNotMeasuredIsStandard) {
    TimingSummary timing{};
    timing.dot_s = 0.1;
    timing.dash_s = 0.35;
    timing.element_gap_s = timing.character_gap_s = timing.word_gap_s =
        std::numeric_limits<double>::quiet_NaN();
    const auto hand = hand_measured(timing);
    ASSERT_TRUE(hand);
    EXPECT_DOUBLE_EQ(hand->dash_s, 0.35);
    EXPECT_DOUBLE_EQ(hand->word_gap_s, 0.7);
}

TEST(AirTime, WhatCannotBe) {
    EXPECT_FALSE(hand_at_speed(0.0));
    EXPECT_FALSE(hand_at_speed(-12.0));
    EXPECT_FALSE(hand_at_speed(std::nan("")));
    TimingSummary nothing{};
    EXPECT_FALSE(hand_measured(nothing));
    nothing.dot_s = std::nan("");
    EXPECT_FALSE(hand_measured(nothing));
    EXPECT_FALSE(air_time_s("A!", *hand_at_speed(12.0)));
}

TEST(AirTime, WhatItDrawsFromABattery) {
    // Half an hour of sending from a battery that lasts five.
    EXPECT_NEAR(share_for_sending({"b", 10.0, 5.0, 2.0, 1.0, {}}, 1800.0), 0.1, 1e-12);
}

}  // namespace
}  // namespace skedlark::station
