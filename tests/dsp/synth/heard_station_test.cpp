#include "dsp/synth/heard_station.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace skedlark::synth {
namespace {

constexpr double kRateHz = 8000.0;

HeardStation carrier_at(double at_hz) {
    SweepStation config;
    config.at_hz = at_hz;
    config.station.carrier = true;
    return {config, 0.5, kRateHz, {}, 1};
}

// A beat is a sine of the distance: the phase from sample to sample is 2 pi f / rate, here by the
// second difference of a sine, x[n+1] + x[n-1] = 2 cos(w) x[n].
TEST(HeardStation, ThePitchIsTheDistance) {
    for (const double tuned_hz : {300.0, 1700.0}) {
        HeardStation station = carrier_at(1000.0);
        double a = station.next(tuned_hz), b = station.next(tuned_hz);
        for (int i = 0; i < 200; ++i) {
            const double c = station.next(tuned_hz);
            EXPECT_NEAR(a + c, 2.0 * std::cos(2.0 * std::numbers::pi * 700.0 / kRateHz) * b, 1e-9);
            a = b;
            b = c;
        }
    }
}

TEST(HeardStation, NoJumpWhenTheDialJumps) {
    HeardStation station = carrier_at(1000.0);
    double before = station.next(0.0);
    for (int i = 0; i < 2000; ++i) {
        const double now = station.next(i % 100 < 50 ? 0.0 : 800.0);
        // The steepest slope of a sine of 1000 Hz and amplitude 0.5.
        EXPECT_LE(std::abs(now - before), 0.5 * 2.0 * std::numbers::pi * 1000.0 / kRateHz + 1e-9);
        before = now;
    }
}

TEST(HeardStation, SilentBeyondTheFilterAndTellsItsCrossing) {
    HeardStation station = carrier_at(1000.0);
    EXPECT_FALSE(station.crossed(900.0));
    EXPECT_FALSE(station.crossed(950.0));
    EXPECT_TRUE(station.crossed(1050.0));
    for (int i = 0; i < 10; ++i) EXPECT_EQ(station.next(1000.0 + 0.45 * kRateHz), 0.0);
}

TEST(HeardStation, SendsWhatItIsToldFromNowOn) {
    SweepStation config;
    config.at_hz = 700.0;
    HeardStation station(config, 0.5, kRateHz, {}, 1);
    for (int i = 0; i < 4000; ++i) ASSERT_EQ(station.next(0.0), 0.0);
    station.send({{0.1, 0.2, false}}, 2);
    int loud_from = -1, loud_to = -1;
    for (int i = 0; i < 4000; ++i) {
        if (std::abs(station.next(0.0)) < 0.25) continue;
        if (loud_from < 0) loud_from = i;
        loud_to = i;
    }
    EXPECT_NEAR(loud_from / kRateHz, 0.1, 0.002);
    EXPECT_NEAR(loud_to / kRateHz, 0.2, 0.002);
}

}  // namespace
}  // namespace skedlark::synth
