#include "dsp/dial/chance_by_rate.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::dial {
namespace {

DetectionModel falling() {
    return DetectionModel::from([](double rate, double) { return std::exp(-rate / 1000.0); });
}

TEST(ChanceByRate, FollowsTheModelBetweenItsPlaces) {
    const auto chance = ChanceByRate::create(falling(), {});
    for (double rate = 25.0; rate < 5000.0; rate *= 1.07) {
        EXPECT_NEAR(chance->at(rate), std::exp(-rate / 1000.0), 0.002) << rate;
    }
    EXPECT_EQ(chance->at(30000.0), 0.0);
}

TEST(ChanceByRate, LevelsHaveTheMeanAndNearlyTheSpreadOfANormal) {
    // The model gives the level back, so that the levels themselves are seen.
    const auto levels = DetectionModel::from([](double, double snr) { return 0.5 + snr / 100.0; });
    const auto chance = ChanceByRate::create(levels, {.snr_2500hz_db = -10.0, .level_sd_db = 4.0});
    double mean = 0.0;
    double square = 0.0;
    for (std::size_t level = 0; level < kLevels; ++level) {
        const double snr = (chance->at(100.0, level) - 0.5) * 100.0;
        mean += snr / kLevels;
        square += (snr + 10.0) * (snr + 10.0) / kLevels;
    }
    EXPECT_NEAR(mean, -10.0, 1e-9);
    EXPECT_NEAR(std::sqrt(square), 4.0 * 0.95, 0.02);
}

TEST(ChanceByRate, FastestRateForAChance) {
    const auto chance = ChanceByRate::create(falling(), {.sending_chance = 0.5});
    // exp(-rate / 1000) = 0.9; that it sends at all is not in the hand of who turns the dial.
    EXPECT_NEAR(*chance->fastest_with(0.9), -1000.0 * std::log(0.9), 1.0);
    EXPECT_NEAR(chance->at(100.0), 0.5 * std::exp(-0.1), 1e-3);
    const auto weak =
        ChanceByRate::create(DetectionModel::from([](double, double) { return 0.3; }), {});
    EXPECT_FALSE(weak->fastest_with(0.9).has_value());
}

TEST(ChanceByRate, LouderNoiseIsALowerLevel) {
    const auto model = DetectionModel::from(
        [](double, double snr_2500hz_db) { return snr_2500hz_db > -12.0 ? 0.9 : 0.2; });
    const auto chance = *ChanceByRate::create(model, {.snr_2500hz_db = -10.0});
    EXPECT_DOUBLE_EQ(chance.in_noise(1.0).at(1000.0), 0.9);
    EXPECT_DOUBLE_EQ(chance.in_noise(3.0).at(1000.0), 0.2);
    EXPECT_DOUBLE_EQ(chance.at(1000.0), 0.9);
}

TEST(ChanceByRate, BadExpectationsAreNamed) {
    for (const Expectation& wrong : {Expectation{std::nan(""), 0.0, 1.0},
                                     Expectation{-10.0, -1.0, 1.0}, Expectation{-10.0, 0.0, 1.5}}) {
        const auto chance = ChanceByRate::create(falling(), wrong);
        ASSERT_FALSE(chance.ok());
        EXPECT_NE(chance.error().message.find("allowed"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::dial
