// Made-up times: no test here waits.
#include "dsp/audio/frame_clock.h"

#include <gtest/gtest.h>

#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

constexpr double kRateHz = 48000.0;
constexpr FrameIndex kBlock = 960;

// Feeds blocks of 20 ms from from_s to to_s with the callback late by up to jitter_s; a sound card
// whose clock is off by drift. Returns the frames found lost.
struct Card {
    explicit Card(double drift = 0.0, double jitter_s = 0.0)
        : rate_hz(kRateHz * (1.0 + drift)), jitter(0.0, jitter_s) {}
    FrameIndex run(double seconds, bool suspect = false, FrameIndex known = 0) {
        FrameIndex lost = 0;
        const auto blocks = static_cast<int>(seconds * rate_hz / kBlock);
        for (int i = 0; i < blocks; ++i) {
            now_s += kBlock / rate_hz;
            lost +=
                clock.block(now_s + jitter(random), kBlock, suspect && i == 0, i == 0 ? known : 0);
        }
        return lost;
    }
    double rate_hz;
    double now_s = 1000.0;
    std::mt19937_64 random{test::seed()};
    std::uniform_real_distribution<double> jitter;
    FrameClock clock{kRateHz};
};

TEST(FrameClock, ADriftingCardLosesNothingInADay) {
    for (const double drift : {-200e-6, -100e-6, 0.0, 100e-6, 200e-6}) {
        Card card(drift, 0.04);
        EXPECT_EQ(card.run(86400.0), 0) << drift;
    }
}

TEST(FrameClock, AFlaggedLossIsMeasured) {
    Card card(50e-6, 0.001);
    EXPECT_EQ(card.run(60.0), 0);
    card.now_s += 0.250;
    EXPECT_NEAR(static_cast<double>(card.run(60.0, true)), 0.250 * kRateHz, 0.002 * kRateHz);
    EXPECT_EQ(card.run(60.0, true), 0);  // a flag without a lag loses nothing
}

TEST(FrameClock, AnUnflaggedLossIsFoundLater) {
    Card card(-50e-6, 0.01);
    card.run(30.0);
    card.now_s += 0.9;
    EXPECT_NEAR(static_cast<double>(card.run(30.0)), 0.9 * kRateHz, 0.015 * kRateHz);
}

TEST(FrameClock, ALateButCompleteDeliveryIsNoLoss) {
    Card card;
    card.run(30.0);
    FrameIndex lost = 0;
    // Nothing for 1.5 s, then all of it at once.
    card.now_s += 1.5;
    for (int i = 0; i < 75; ++i) lost += card.clock.block(card.now_s, kBlock, false);
    EXPECT_EQ(lost + card.run(30.0), 0);
}

TEST(FrameClock, KnownLossIsPassedOnAndNotCountedTwice) {
    Card card(0.0, 0.002);
    card.run(10.0);
    card.now_s += 4800.0 / kRateHz;
    EXPECT_EQ(card.run(30.0, false, 4800), 4800);
}

TEST(FrameClock, AnAbsenceIsCountedAsItPasses) {
    Card card(0.0, 0.001);
    card.run(10.0);
    const double gone_s = card.now_s;
    FrameIndex lost = 0;
    for (int i = 1; i <= 10; ++i) lost += card.clock.away_until(gone_s + i);
    card.now_s = gone_s + 10.7;
    lost += card.run(30.0, true);
    EXPECT_NEAR(static_cast<double>(lost), 10.7 * kRateHz, 0.005 * kRateHz);
}

TEST(FrameClock, NothingBeforeTheFirstBlock) {
    FrameClock clock(kRateHz);
    EXPECT_EQ(clock.away_until(1e6), 0);
    EXPECT_EQ(clock.block(2e6, kBlock, true), 0);
}

}  // namespace
}  // namespace skedlark::audio
