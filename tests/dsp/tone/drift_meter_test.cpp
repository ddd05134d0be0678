#include "dsp/tone/drift_meter.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::tone {
namespace {

TEST(DriftMeter, ReadsASlopeExactlyWithoutNoise) {
    DriftMeter meter(30.0);
    for (int n = 0; n < 600; ++n) meter.add(0.1 * n, 700.0 + 0.02 * n, 1.0);
    EXPECT_NEAR(meter.hz_per_min(), 12.0, 1e-6);
    EXPECT_NEAR(meter.sure_hz_per_s(), 0.2, 1e-3);
}

TEST(DriftMeter, WanderAboutAMeanIsNoSureSlope) {
    DriftMeter meter(4.0);
    for (int n = 0; n < 300; ++n) meter.add(0.1 * n, 700.0 + (n / 20 % 2 == 0 ? 1.5 : -1.5), 1.0);
    EXPECT_LT(std::abs(meter.sure_hz_per_s()), 0.15);
}

TEST(DriftMeter, NeedsTwoSecondsAndWeight) {
    DriftMeter meter(30.0);
    for (int n = 0; n < 15; ++n) meter.add(0.1 * n, 700.0 + n, 1.0);
    EXPECT_EQ(meter.hz_per_min(), 0.0);
    for (int n = 15; n < 100; ++n) meter.add(0.1 * n, 700.0 + n, 0.0);
    EXPECT_EQ(meter.hz_per_min(), 0.0);
    for (int n = 100; n < 200; ++n) meter.add(0.1 * n, 700.0 + n, 1.0);
    EXPECT_NEAR(meter.hz_per_min(), 600.0, 1.0);
    meter.reset();
    EXPECT_EQ(meter.hz_per_min(), 0.0);
}

}  // namespace
}  // namespace skedlark::tone
