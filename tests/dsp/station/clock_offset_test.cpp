// Ticks made up with a known offset (ITU-R TF.460: one at each second of UTC), taps and clicks of
// known scatter; the interval must hold the truth as often as it says.
#include "dsp/station/clock_offset.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "tests/support/seed.h"

namespace skedlark::station {
namespace {

struct Scene {
    double offset_s = 0.0;
    int seconds = 60;
    double scatter_s = 0.0;  // standard deviation of each tick
    double missed = 0.0;     // share of the ticks that were not heard
    int clicks = 0;          // at any time
    int doubled = 0;         // first seconds of each minute have a second half, 100 ms later
    bool minute = false;     // the minute markers are known
};

std::vector<Tick> ticks_of(const Scene& scene, std::mt19937_64& random) {
    std::normal_distribution<double> scatter(0.0, 1.0);
    std::uniform_real_distribution<double> share(0.0, 1.0);
    const UtcTime start = *parse_utc("2026-11-26T18:29:20Z");
    const auto by_clock = [&](double utc_s) {
        return start + std::chrono::milliseconds(std::llround(1000.0 * (utc_s + scene.offset_s)));
    };
    std::vector<Tick> ticks;
    for (int s = 0; s < scene.seconds; ++s) {
        if (share(random) < scene.missed) continue;
        const bool minute = (s + 20) % 60 == 0;
        const double at_s = s + scene.scatter_s * scatter(random);
        ticks.push_back({by_clock(at_s), scene.minute && minute});
        if ((s + 20) % 60 >= 1 && (s + 20) % 60 <= scene.doubled) {
            ticks.push_back({by_clock(at_s + 0.1), false});
        }
    }
    for (int i = 0; i < scene.clicks; ++i) {
        ticks.push_back({by_clock(scene.seconds * share(random)), false});
    }
    std::sort(ticks.begin(), ticks.end(),
              [](const Tick& a, const Tick& b) { return a.heard < b.heard; });
    return ticks;
}

TEST(ClockOffset, CleanTicksTellItToAMillisecond) {
    std::mt19937_64 random(support::test_seed(1));
    for (const double offset_s : {0.0, 0.25, -0.4, 0.499}) {
        const auto found = offset_from_ticks(ticks_of({offset_s, 60}, random));
        ASSERT_TRUE(found) << found.error().message;
        EXPECT_NEAR(found->offset_s, offset_s, 0.001);
        EXPECT_EQ(found->ticks_used, 60);
        EXPECT_FALSE(found->whole_second_known);
        EXPECT_NEAR(found->uncertainty_95_s, kTickSystematicS, 0.002);
    }
}

TEST(ClockOffset, WithoutAMinuteMarkerTheNearestSecondIsTaken) {
    std::mt19937_64 random(support::test_seed(2));
    const auto found = offset_from_ticks(ticks_of({2.25, 60}, random));
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->offset_s, 0.25, 0.001);
    EXPECT_FALSE(found->whole_second_known);
}

TEST(ClockOffset, AMinuteMarkerTellsWholeSeconds) {
    std::mt19937_64 random(support::test_seed(3));
    for (const double offset_s : {2.25, -7.6, 25.0, -25.0}) {
        const auto found =
            offset_from_ticks(ticks_of({offset_s, 100, 0.03, 0.2, 5, 0, true}, random));
        if (!found) continue;  // the marker itself may have been missed; that is tested above
        if (!found->whole_second_known) continue;
        EXPECT_NEAR(found->offset_s, offset_s, 0.05);
    }
    const auto sure = offset_from_ticks(ticks_of({2.25, 100, 0.0, 0.0, 0, 0, true}, random));
    ASSERT_TRUE(sure && sure->whole_second_known);
    EXPECT_NEAR(sure->offset_s, 2.25, 0.001);
}

// Doubled markers would pull the mean late by 0.1 s times their share.
TEST(ClockOffset, DoubledMarkersCountOnce) {
    std::mt19937_64 random(support::test_seed(4));
    const auto found = offset_from_ticks(ticks_of({0.1, 120, 0.0, 0.0, 0, 8}, random));
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->offset_s, 0.1, 0.002);
    EXPECT_EQ(found->ticks_used, 120);
}

// 95 % is what is claimed; the binomial interval of 1000 runs is 93.5 to 96.3 %. The reach cuts
// the tails of the scatter a little, and milliseconds are rounded.
TEST(ClockOffset, TheIntervalHoldsTheTruthAsOftenAsItSays) {
    std::mt19937_64 random(support::test_seed(1001));
    int inside = 0;
    double squares = 0.0;
    constexpr int kRuns = 1000;
    for (int run = 0; run < kRuns; ++run) {
        const auto found = offset_from_ticks(ticks_of({0.37, 30, 0.03, 0.3, 0}, random));
        ASSERT_TRUE(found) << found.error().message;
        const double miss_s = found->offset_s - 0.37;
        inside += std::abs(miss_s) <= found->ticks_95_s ? 1 : 0;
        squares += miss_s * miss_s;
    }
    RecordProperty("inside", inside);
    RecordProperty("rms_us", static_cast<int>(1.0e6 * std::sqrt(squares / kRuns)));
    EXPECT_GE(inside, 925);
    EXPECT_LE(inside, 970);
    // 30 ms over the root of 21 ticks is 6.5 ms.
    EXPECT_NEAR(std::sqrt(squares / kRuns), 0.0065, 0.0013);
}

TEST(ClockOffset, ClicksAmongTheTicksDoNoHarm) {
    std::mt19937_64 random(support::test_seed(1002));
    int far = 0;
    for (int run = 0; run < 300; ++run) {
        const auto found = offset_from_ticks(ticks_of({-0.2, 60, 0.03, 0.2, 15}, random));
        ASSERT_TRUE(found) << found.error().message;
        far += std::abs(found->offset_s + 0.2) > 0.03 ? 1 : 0;
    }
    RecordProperty("far", far);
    EXPECT_LE(far, 3);
}

TEST(ClockOffset, WhatHasNoRhythmIsRefused) {
    std::mt19937_64 random(support::test_seed(1003));
    int taken = 0;
    constexpr int kRuns = 2000;
    for (int run = 0; run < kRuns; ++run) {
        Scene noise;
        noise.seconds = 30;
        noise.missed = 1.0;
        noise.clicks = 7 + run % 40;
        taken += offset_from_ticks(ticks_of(noise, random)) ? 1 : 0;
    }
    RecordProperty("taken", taken);
    EXPECT_LE(taken, 6) << "one in a thousand is allowed";
    Scene metronome;  // two beats a second
    std::vector<Tick> beats = ticks_of({0.0, 30}, random);
    std::vector<Tick> both;
    for (const Tick& beat : beats) {
        both.push_back(beat);
        both.push_back({beat.heard + std::chrono::milliseconds(500), false});
    }
    EXPECT_FALSE(offset_from_ticks(both));
}

TEST(ClockOffset, BadListsAreRefused) {
    std::mt19937_64 random(support::test_seed(5));
    EXPECT_FALSE(offset_from_ticks({}));
    EXPECT_FALSE(offset_from_ticks(ticks_of({0.0, 1}, random)));
    EXPECT_FALSE(offset_from_ticks(ticks_of({0.0, 4}, random))) << "four could be chance";
    auto ticks = ticks_of({0.0, 20}, random);
    std::swap(ticks[3], ticks[9]);
    const auto disorder = offset_from_ticks(ticks);
    ASSERT_FALSE(disorder);
    EXPECT_NE(disorder.error().message.find("tick 5"), std::string::npos)
        << disorder.error().message;
    auto contradicting = ticks_of({0.0, 20}, random);
    contradicting[3].minute = contradicting[9].minute = true;
    EXPECT_FALSE(offset_from_ticks(contradicting));
    EXPECT_FALSE(offset_from_ticks(std::vector<Tick>(5000)));
}

}  // namespace
}  // namespace skedlark::station
