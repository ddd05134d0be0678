#include <gtest/gtest.h>

#include <cmath>

#include "dsp/dial/detection.h"

namespace skedlark::dial {
namespace {

double level_for_90(const DetectionModel& model, double rate_hz_per_s) {
    for (double level = -30.0; level < 30.0; level += 0.05)
        if (model.chance(rate_hz_per_s, level) >= 0.9) return level;
    return 1e3;
}

TEST(FinderChance, IsTheCurveThatWasMeasured) {
    const auto built_in = *DetectionModel::glide_finder({});
    const auto file = read_detection(GLIDE_CURVE);
    ASSERT_TRUE(file.ok()) << file.error().message;
    for (const double rate : {300.0, 700.0, 1000.0, 2500.0, 5000.0})
        for (double level = -25.0; level <= 20.0; level += 1.3)
            EXPECT_DOUBLE_EQ(built_in.chance(rate, level), file->chance(rate, level));
}

TEST(FinderChance, LiesBetweenTheSimpleTrackerAndTheBound) {
    // 90 % at one false alarm in ten passes of ten minutes: a detector told the motion exactly -20.1 /
    // -17.1 / -13.4 dB at 1 / 2 / 5 kHz/s, a tracker told only the nominal rate -16.2 / -14.1 / -10.2
    // (design figures of this project, computed).
    const auto model = *DetectionModel::glide_finder({});
    const double exact[] = {-20.1, -17.1, -13.4};
    const double simple[] = {-16.2, -14.1, -10.2};
    const double rates[] = {1000.0, 2000.0, 5000.0};
    for (int n = 0; n < 3; ++n) {
        EXPECT_GT(level_for_90(model, rates[n]), exact[n]);
        EXPECT_LT(level_for_90(model, rates[n]), simple[n]);
    }
}

TEST(FinderChance, ANarrowPassbandNeedsAStrongerStation) {
    const auto wide = *DetectionModel::glide_finder({});
    const auto narrow = *DetectionModel::glide_finder({.passband_hz = 675.0});
    // A quarter of the looks: 5 dB by coherent, 10 log10(4) / 2 = 3 dB by noncoherent addition of many,
    // in between for few.
    const double costs = level_for_90(narrow, 1000.0) - level_for_90(wide, 1000.0);
    EXPECT_GT(costs, 3.0);
    EXPECT_LT(costs, 5.0);
}

TEST(FinderChance, SettingsThatCannotBe) {
    EXPECT_FALSE(DetectionModel::glide_finder({.passband_hz = 10.0}).ok());
    EXPECT_FALSE(DetectionModel::glide_finder({.speed_wpm = std::nan("")}).ok());
}

}  // namespace
}  // namespace skedlark::dial
