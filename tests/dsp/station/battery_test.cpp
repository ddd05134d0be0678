// Common practice, no source: about 10 h of use from a car battery, about 1.75 h from a small
// portable one, and 5 to 7 hours of charging for each hour of use.
#include "dsp/station/battery.h"

#include <gtest/gtest.h>

namespace skedlark::station {
namespace {

Battery battery(double receive_h, double send_h, double ratio, double charge = 1.0) {
    return {"b", receive_h, send_h, ratio, charge, {}};
}

UtcTime hour(int hours) { return *parse_utc("2026-11-26T00:00Z") + std::chrono::hours(hours); }

TEST(Battery, CarBatteryLastsTenHours) {
    const Battery car = battery(10.0, 10.0, 6.0);
    const BatteryUse uses[] = {{hour(0), 9.9, 0.0, 0.0}, {hour(10), 0.2, 0.0, 0.0}};
    const auto after = run_down(car, uses);
    EXPECT_NEAR(after[0].after, 0.01, 1e-9);
    EXPECT_DOUBLE_EQ(after[0].short_by, 0.0);
    EXPECT_NEAR(after[1].short_by, 0.01, 1e-9);
    EXPECT_DOUBLE_EQ(after[1].after, 0.0);
}

// 1.75 h of use owe 8.75 to 12.25 h on the charger.
TEST(Battery, PortableOneOwesFiveToSevenTimesItsUse) {
    const BatteryUse use[] = {{hour(0), 1.75, 0.0, 0.0}};
    EXPECT_NEAR(run_down(battery(1.75, 1.75, 5.0), use)[0].charge_owed_h, 8.75, 1e-9);
    EXPECT_NEAR(run_down(battery(1.75, 1.75, 7.0), use)[0].charge_owed_h, 12.25, 1e-9);
    EXPECT_NEAR(run_down(battery(1.75, 1.75, 6.0), use)[0].after, 0.0, 1e-9);
}

TEST(Battery, SendingDrawsItsOwnShare) {
    const Battery both = battery(8.0, 4.0, 2.0);
    // One hour on, a quarter of it sending: 0.75 / 8 + 0.25 / 4.
    EXPECT_NEAR(share_drawn(both, 1.0, 0.25), 0.15625, 1e-12);
    EXPECT_NEAR(share_drawn(both, 1.0, 5.0), 0.25, 1e-12) << "no more sending than it is on";
    EXPECT_DOUBLE_EQ(share_drawn(both, -1.0, 0.0), 0.0);
}

TEST(Battery, ChargingFillsUpToFullAndNoFurther) {
    const Battery half = battery(8.0, 8.0, 2.0, 0.5);
    const BatteryUse uses[] = {{hour(0), 0.0, 0.0, 4.0}, {hour(5), 0.0, 0.0, 100.0}};
    const auto after = run_down(half, uses);
    EXPECT_NEAR(after[0].after, 0.75, 1e-12) << "4 h of the 16 that a full charge takes";
    EXPECT_DOUBLE_EQ(after[1].after, 1.0);
    EXPECT_DOUBLE_EQ(after[1].charge_owed_h, 0.0);
    EXPECT_DOUBLE_EQ(after[1].receive_left_h, 8.0);
}

TEST(Battery, WhatWasBeforeTheReadingIsPaidFor) {
    Battery read = battery(8.0, 8.0, 2.0, 0.5);
    read.as_of = hour(10);
    const BatteryUse uses[] = {{hour(9), 2.0, 0.0, 0.0}, {hour(11), 2.0, 0.0, 0.0}};
    const auto after = run_down(read, uses);
    EXPECT_DOUBLE_EQ(after[0].after, 0.5);
    EXPECT_DOUBLE_EQ(after[1].after, 0.25);
}

}  // namespace
}  // namespace skedlark::station
