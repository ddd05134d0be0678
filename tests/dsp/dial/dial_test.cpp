#include "dsp/dial/dial.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::dial {
namespace {

using test::mountain_set;

TEST(Dial, ASettingAndItsParts) {
    const auto dial = Dial::create(mountain_set(), "2");
    ASSERT_TRUE(dial.ok());
    const auto setting = dial->setting(4.35);
    ASSERT_TRUE(setting.ok());
    EXPECT_NEAR(setting->div, 30.0, 1e-9);
    EXPECT_NEAR(setting->sd_div, std::hypot(0.1, 0.2), 1e-12);
    // 1.959964: two-sided 95 % of a normal, any statistics table.
    EXPECT_NEAR(setting->high95_div - setting->low95_div, 2.0 * 1.959964 * setting->sd_div, 1e-6);
    EXPECT_NEAR(dial->mhz_at(setting->div), 4.35, 1e-12);
    EXPECT_NEAR(dial->mhz_sd(30.0), 1e-3 * setting->khz_per_div * setting->sd_div, 1e-12);
    // Listened to above zero beat, zero beat lies 700 Hz below the station.
    EXPECT_NEAR(dial->mhz_at(setting->listen_div), 4.35 - 0.0007, 1e-12);
}

TEST(Dial, BeatOscillatorConventions) {
    Receiver set = mountain_set();
    set.beat = {.zero_beat_offset_hz = 900.0, .listen = ListenSide::below};
    const auto dial = Dial::create(set, "2");
    const auto setting = dial->setting(4.35);
    // Zero beat stands 900 Hz above what the chart says: the dial stands where the chart says
    // 4.3491.
    EXPECT_NEAR(dial->chart().mhz_at(setting->div), 4.3491, 1e-12);
    EXPECT_NEAR(dial->mhz_at(setting->listen_div), 4.3507, 1e-12);
    EXPECT_NEAR(dial->mhz_at(setting->div), 4.35, 1e-12);
    // With the beat oscillator 700 Hz off centre and the station listened to in the centre, chart
    // and listening place are one.
    set.beat = {.zero_beat_offset_hz = -700.0, .listen = ListenSide::above};
    const auto centred = Dial::create(set, "2");
    EXPECT_NEAR(centred->setting(4.35)->listen_div, 30.0, 1e-9);
}

TEST(Dial, AFallingBandIsCountedRight) {
    const auto dial = Dial::create(mountain_set(), "3");
    const auto setting = dial->setting(8.5);
    EXPECT_NEAR(setting->div, 40.0, 1e-9);
    EXPECT_GT(setting->khz_per_div, 0.0);
    // Lower frequencies lie at higher divisions here.
    EXPECT_GT(setting->listen_div, setting->div);
}

TEST(Dial, KnownStationsMoveTheSettingAndWidenIt) {
    const Receiver set = mountain_set();
    const std::vector<KnownStation> known{{5.0, 57.0}};
    const auto plain = Dial::create(set, "2");
    const auto moved = Dial::create(set, "2", known);
    ASSERT_TRUE(moved.ok()) << moved.error().message;
    const double offset = 57.0 - plain->setting(5.0)->div;
    EXPECT_NEAR(moved->setting(5.0)->div, 57.0, 1e-9);
    EXPECT_NEAR(moved->setting(4.35)->div, 30.0 + offset, 1e-9);
    EXPECT_NEAR(moved->setting(4.35)->sd_div, std::sqrt(2.0) * std::hypot(0.1, 0.2), 1e-9);
    EXPECT_NEAR(moved->mhz_at(57.0), 5.0, 1e-12);
}

TEST(Dial, ZeroBeatOffsetCountsForKnownStationsToo) {
    Receiver set = mountain_set();
    set.beat.zero_beat_offset_hz = 2000.0;
    const auto plain = Dial::create(set, "2");
    const std::vector<KnownStation> known{{5.0, plain->setting(5.0)->div}};
    const auto same = Dial::create(set, "2", known);
    EXPECT_NEAR(same->correction().offset_div, 0.0, 1e-9);
}

TEST(Dial, RoundTripThroughCorrectionAndConvention) {
    Receiver set = mountain_set();
    set.beat.zero_beat_offset_hz = -1200.0;
    const std::vector<KnownStation> known{{4.2, 20.5}, {5.0, 56.9}, {6.0, 89.0}};
    for (const char* band : {"1", "2", "3"}) {
        const auto dial =
            std::string(band) == "2" ? Dial::create(set, band, known) : Dial::create(set, band);
        ASSERT_TRUE(dial.ok()) << dial.error().message;
        const BandChart& chart = dial->chart();
        for (double mhz = chart.low_mhz() + 0.001; mhz < chart.high_mhz() - 0.001; mhz += 0.001) {
            const double div = dial->setting(mhz)->div;
            EXPECT_NEAR(dial->setting(dial->mhz_at(div))->div, div, 1e-7);
        }
    }
}

TEST(Dial, WhichBandsHoldAFrequency) {
    const Receiver set = mountain_set();
    EXPECT_EQ(*bands_with(set, 3.0), std::vector<std::string>{"1"});
    // Both hold 3.9 MHz; band 2 has 13 kHz to a division there, band 1 has 22.
    EXPECT_EQ(*bands_with(set, 3.9), (std::vector<std::string>{"2", "1"}));
    const auto none = bands_with(set, 14.0);
    ASSERT_FALSE(none.ok());
    EXPECT_EQ(none.error().code, ErrorCode::not_found);
    for (const char* word : {"14 MHz", "1 (2.4 to 4 MHz)", "3 (6 to 10.5 MHz)"}) {
        EXPECT_NE(none.error().message.find(word), std::string::npos) << none.error().message;
    }
    EXPECT_FALSE(bands_with(set, std::numeric_limits<double>::quiet_NaN()).ok());
    EXPECT_FALSE(bands_with(set, -4.0).ok());
}

TEST(Dial, WhatIsNotThereIsSaid) {
    const auto band = Dial::create(mountain_set(), "4");
    ASSERT_FALSE(band.ok());
    EXPECT_NE(band.error().message.find("'4'"), std::string::npos);
    const auto outside = Dial::create(mountain_set(), "1")->setting(5.0);
    ASSERT_FALSE(outside.ok());
    EXPECT_NE(outside.error().message.find("2.45 to 3.98 MHz"), std::string::npos);
    EXPECT_FALSE(Dial::create(mountain_set(), "1")->setting(std::nan("")).ok());
    Receiver broken = mountain_set();
    broken.bands[0].points.clear();
    EXPECT_FALSE(Dial::create(broken, "1").ok());
}

TEST(Dial, StandardFrequenciesAreOfferedWhereTheChartHoldsThem) {
    const Receiver set = mountain_set();
    const auto points = check_points(*Dial::create(set, "2"));
    ASSERT_EQ(points.size(), 1U);
    EXPECT_EQ(points[0].mhz, 5.0);
    EXPECT_EQ(check_points(*Dial::create(set, "1"))[0].mhz, 2.5);
    EXPECT_EQ(check_points(*Dial::create(set, "3"))[0].mhz, 10.0);
}

}  // namespace
}  // namespace skedlark::dial
