#include "dsp/dial/place_map.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/dsp/dial/mountain_set.h"
#include "tests/support/seed.h"

namespace skedlark::dial {
namespace {

ChanceByRate always(double chance) {
    return *ChanceByRate::create(DetectionModel::from([=](double, double) { return chance; }), {});
}

struct Scene {
    Dial dial = *Dial::create(test::mountain_set(), "2");
    Setting setting = *dial.setting(4.35);
    PlaceMap map = *PlaceMap::create(dial, setting);
};

double variance(const PlaceMap& map) {
    double sum = 0.0, mean = 0.0, square = 0.0;
    for (std::size_t i = 0; i < map.cells(); ++i) {
        sum += map.chance(i);
        mean += map.chance(i) * map.div_of(i);
        square += map.chance(i) * map.div_of(i) * map.div_of(i);
    }
    mean /= sum;
    return square / sum - mean * mean;
}

TEST(PlaceMap, BeginsAsTheNormalOfTheSetting) {
    const Scene s;
    const double sd = s.setting.sd_div;
    // 0.6827 and 0.9545: one and two standard deviations, any statistics table; a cell is a fifth of
    // a standard deviation wide and even inside.
    EXPECT_NEAR(s.map.chance_between(s.setting.div - sd, s.setting.div + sd), 0.6827, 0.006);
    EXPECT_NEAR(s.map.chance_between(s.setting.div - 2 * sd, s.setting.div + 2 * sd), 0.9545,
                0.006);
    EXPECT_NEAR(s.map.place().low_div, s.setting.low95_div, 0.02);
    EXPECT_NEAR(s.map.place().high_div, s.setting.high95_div, 0.02);
    EXPECT_EQ(s.map.chance_so_far(), 0.0);
}

TEST(PlaceMap, APassThatHeardNothingFollowsBayesRule) {
    Scene s;
    const double low = s.map.low_div();
    const double end = low + static_cast<double>(s.map.cells() / 2) * s.map.step_div();
    const double inside = s.map.chance_between(low, end);
    ASSERT_TRUE(s.map.heard({low - 1.0, end, 2.0, 0.0, {}}, always(0.8)).ok());
    EXPECT_NEAR(s.map.chance_between(low, end), inside * 0.2 / (1.0 - 0.8 * inside), 1e-9);
    EXPECT_NEAR(s.map.chance_so_far(), 0.8 * inside, 1e-9);
    EXPECT_EQ(s.map.passes(), 1);
}

TEST(PlaceMap, WhereTheNoiseWasLouderLittleIsLearnt) {
    Scene s;
    const auto chance = *ChanceByRate::create(
        DetectionModel::from([](double, double snr) { return snr > -14.0 ? 0.8 : 0.1; }), {});
    const double middle = s.map.div_of(s.map.cells() / 2) - 0.5 * s.map.step_div();
    const Pass pass{s.map.low_div() - 1.0,
                    s.map.high_div() + 1.0,
                    2.0,
                    0.0,
                    {},
                    {{middle - 1e-6, 0.0}, {middle + 1e-6, 10.0}}};
    const double low = s.map.chance_between(s.map.low_div(), middle);
    const double high = s.map.chance_between(middle, s.map.high_div());
    ASSERT_TRUE(s.map.heard(pass, chance).ok());
    // Bayes' rule with 0.8 below and 0.1 above.
    const double left = 0.2 * low + 0.9 * high;
    EXPECT_NEAR(s.map.chance_between(s.map.low_div(), middle), 0.2 * low / left, 0.01);
    EXPECT_NEAR(s.map.chance_between(middle, s.map.high_div()), 0.9 * high / left, 0.01);
}

TEST(PlaceMap, WhatIsElsewhereGrowsAsThePassesStayEmpty) {
    const Scene s;
    PlaceMap map = *PlaceMap::create(s.dial, s.setting, {.elsewhere = 0.1});
    for (int n = 0; n < 3; ++n) {
        ASSERT_TRUE(
            map.heard({map.low_div() - 1, map.high_div() + 1, 2.0, 0.0, {}}, always(0.5)).ok());
    }
    EXPECT_NEAR(map.elsewhere(), 0.1 / (0.1 + 0.9 * 0.125), 1e-9);
    EXPECT_NEAR(map.chance_so_far(), 0.9 * 0.875, 1e-9);
}

TEST(PlaceMap, EmptyPassesSpeakForAWeakStationToo) {
    Scene s;
    // Only the stronger levels are heard.
    const auto chance = *ChanceByRate::create(
        DetectionModel::from([](double, double snr) { return snr > -11.0 ? 0.9 : 0.1; }),
        {.snr_2500hz_db = -10.0, .level_sd_db = 5.0});
    const Pass pass{s.map.low_div() - 1, s.map.high_div() + 1, 2.0, 0.0, {}};
    ASSERT_TRUE(s.map.heard(pass, chance).ok());
    const double first = s.map.chance_so_far();
    ASSERT_TRUE(s.map.heard(pass, chance).ok());
    // Levels -17 and -12.7 are below -11: 2 of 5 cells keep 0.9, the others 0.1.
    EXPECT_NEAR(first, 1.0 - (2 * 0.9 + 3 * 0.1) / 5.0, 1e-9);
    EXPECT_NEAR(s.map.chance_so_far(), 1.0 - (2 * 0.81 + 3 * 0.01) / 5.0, 1e-9);
}

TEST(PlaceMap, CandidatesRaiseTheirPlaceByWhatTheyAre) {
    const Scene s;
    const double at = s.setting.div + 0.2;
    const auto after = [&](Heard heard, double confidence) {
        PlaceMap map = s.map;
        const Pass pass{
            map.low_div() - 1, map.high_div() + 1, 2.0, 0.05, {{at, 0.05, heard, confidence}}};
        EXPECT_TRUE(map.heard(pass, always(0.9)).ok());
        return map.chance_between(at - 0.15, at + 0.15);
    };
    EXPECT_GT(after(Heard::keyed, 1.0), 0.8);
    EXPECT_GT(after(Heard::expected_call, 0.95), 0.98);
    EXPECT_GT(after(Heard::keyed, 1.0), after(Heard::steady, 1.0));
    EXPECT_LT(after(Heard::other_call, 0.99), 0.8 * after(Heard::keyed, 1.0));
    EXPECT_LT(after(Heard::other_call, 0.99), after(Heard::other_call, 0.5));
}

TEST(PlaceMap, DriftWidensItAndLosesNothing) {
    Scene s;
    const double before = variance(s.map);
    ASSERT_TRUE(s.map.drift(0.2).ok());
    EXPECT_NEAR(variance(s.map) - before, 0.04, 0.003);
    EXPECT_NEAR(s.map.chance_between(-1000, 1000), 1.0, 1e-9);
}

// Stations drawn from what the map is told, passes that notice some of them, other stations at
// random: the intervals must hold the truth as often as they say.
TEST(PlaceMap, ItsIntervalsHoldTheTruthAsOftenAsTheySay) {
    std::mt19937 random(support::test_seed(4711));
    const Scene s;
    const MapConfig config{.others_per_div = 0.3};
    constexpr int kTrials = 2000;
    int held = 0;
    double said = 0.0;
    for (int trial = 0; trial < kTrials; ++trial) {
        PlaceMap map = *PlaceMap::create(s.dial, s.setting, config);
        const double truth = std::normal_distribution<>(s.setting.div, s.setting.sd_div)(random);
        const double low = map.low_div();
        const double width = map.high_div() - low;
        std::vector<double> others(std::poisson_distribution<>(0.3 * width)(random));
        for (double& other : others)
            other = low + width * std::uniform_real_distribution<>()(random);
        Pass pass{low - 1.0, map.high_div() + 1.0, 2.0, 0.05, {}};
        const auto meet = [&](double div) {
            pass.candidates.push_back({div + std::normal_distribution<>(0.0, 0.05)(random), 0.05});
        };
        for (const double other : others) meet(other);
        if (std::bernoulli_distribution(0.7)(random)) meet(truth);
        ASSERT_TRUE(map.heard(pass, always(0.7)).ok());
        const PlaceMap::Place place = map.place(0.9);
        held += truth >= place.low_div && truth <= place.high_div ? 1 : 0;
        said += map.chance_between(place.low_div, place.high_div);
    }
    EXPECT_NEAR(said / kTrials, 0.9, 0.01);
    // Three standard deviations of a share of 0.9 among 2000.
    EXPECT_NEAR(static_cast<double>(held) / kTrials, 0.9, 0.02);
}

TEST(PlaceMap, WhatIsWrongLeavesTheMapAsItWas) {
    Scene s;
    const double nan = std::nan("");
    const std::vector<Pass> wrong{
        {nan, 30.0, 2.0, 0.1, {}},
        {20.0, 2e4, 2.0, 0.1, {}},
        {20.0, 30.0, 0.0, 0.1, {}},
        {20.0, 30.0, -1.0, 0.1, {}},
        {20.0, 30.0, 2.0, -0.1, {}},
        {20.0, 30.0, 2.0, 0.1, {{30.0, 0.0}}},
        {20.0, 30.0, 2.0, 0.1, {{nan, 0.1}}},
        {20.0, 30.0, 2.0, 0.1, {{30.0, 0.1, Heard::keyed, 1.5}}},
        {20.0, 30.0, 2.0, 0.1, {}, {{25.0, nan}}},
        {20.0, 30.0, 2.0, 0.1, {}, {{25.0, 0.0}, {24.0, 0.0}}},
    };
    const double before = variance(s.map);
    for (const Pass& pass : wrong) {
        const Status status = s.map.heard(pass, always(0.9));
        ASSERT_FALSE(status.ok());
        EXPECT_NE(status.error().message.find("allowed"), std::string::npos);
    }
    EXPECT_FALSE(s.map.drift(nan).ok());
    EXPECT_FALSE(s.map.drift(-1.0).ok());
    EXPECT_EQ(variance(s.map), before);
    EXPECT_EQ(s.map.passes(), 0);
    EXPECT_FALSE(PlaceMap::create(s.dial, s.setting, {.reach_sds = nan}).ok());
    EXPECT_FALSE(PlaceMap::create(s.dial, s.setting, {.elsewhere = 0.95}).ok());
}

TEST(PlaceMap, SweptAwayEntirelyItBeginsEven) {
    Scene s;
    const Pass pass{s.map.low_div() - 1, s.map.high_div() + 1, 2.0, 0.0, {}};
    ASSERT_TRUE(s.map.heard(pass, always(1.0)).ok());
    EXPECT_NEAR(s.map.chance_so_far(), 1.0, 1e-12);
    EXPECT_NEAR(s.map.chance(0), s.map.chance(s.map.cells() / 2), 1e-12);
}

}  // namespace
}  // namespace skedlark::dial
