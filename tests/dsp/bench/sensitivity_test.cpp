#include "dsp/bench/sensitivity.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_series.h"
#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

using test::made;
using test::TestReceiver;
using test::TestStep;

const ToneTrackConfig kConfig{.band = {50.0, 4000.0}};

std::vector<LevelStep> steps_of(const std::vector<TestStep>& steps) {
    std::vector<LevelStep> out;
    double at = 0.0;
    for (const TestStep& s : steps) {
        LevelStep step;
        step.from_s = at;
        at += s.seconds;
        step.to_s = at;
        step.dbm = s.dbm;
        out.push_back(step);
    }
    return out;
}

TEST(Sensitivity, OnAndOffFromThreeToFortyDecibels) {
    const std::uint64_t first = support::test_seed(21);
    for (const double ratio_db : {3.0, 10.0, 20.0, 40.0}) {
        const double snr_db = 10.0 * std::log10(std::pow(10.0, 0.1 * ratio_db) - 1.0);
        const TestReceiver set{.equal_dbm = -snr_db, .noise_rms = 0.004, .seed = first};
        const auto measured =
            measure_on_off(made(set, {{5.0, {}}, {10.0, 0.0}, {6.0, {}}}), 8000.0, kConfig);
        ASSERT_TRUE(measured) << measured.error().message;
        EXPECT_EQ(measured->on.size(), 1U);
        EXPECT_EQ(measured->off.size(), 2U);
        EXPECT_NEAR(measured->ratio_db.value, ratio_db, 0.2);
        EXPECT_LT(measured->ratio_db.uncertainty_95, 0.2);
        EXPECT_GT(measured->ratio_db.uncertainty_95, 0.01);
        ASSERT_TRUE(measured->sinad_db);
        EXPECT_NEAR(measured->sinad_db->value, ratio_db, 0.2);
    }
}

TEST(Sensitivity, OnAndOffRefused) {
    const auto refusal = [](const std::vector<float>& audio) {
        const auto measured = measure_on_off(audio, 8000.0, kConfig);
        return measured ? std::string() : measured.error().message;
    };
    EXPECT_NE(refusal(made({}, {{20.0, {}}})).find("same all through"), std::string::npos);
    EXPECT_NE(refusal(made({}, {{10.0, {}}, {1.5, -110.0}})).find("only"), std::string::npos);
    EXPECT_NE(refusal(made({.gain_control = true, .seed = 3}, {{10.0, {}}, {10.0, -120.0}})),
              std::string());
    EXPECT_NE(refusal(made({}, {{8.0, {}}, {8.0, -110.0}, {8.0, -104.0}})).find("more than two"),
              std::string::npos);
    EXPECT_FALSE(refusal(std::vector<float>(80000)).empty());
    EXPECT_FALSE(refusal({}).empty());
    // Gain control that lets the output rise a little: the noise beside the tone gives it away.
    TestReceiver set{.seed = 4};
    auto audio = made(set, {{10.0, {}}, {10.0, -105.0}});
    for (std::size_t n = 80000; n < audio.size(); ++n) audio[n] *= 0.4F;
    EXPECT_NE(refusal(audio).find("gain control"), std::string::npos) << refusal(audio);
}

TEST(Sensitivity, ASeriesGivesTheLevelFor10DbAndFor12DbSinad) {
    const std::vector<TestStep> steps{{8.0, {}},     {6.0, -118.0}, {6.0, -115.0}, {6.0, -112.0},
                                      {6.0, -109.0}, {6.0, -106.0}, {6.0, -103.0}};
    for (const double law : {1.0, 2.0}) {
        const TestReceiver set{.law = law, .seed = support::test_seed(9)};
        const auto series = measure_series(made(set, steps), 8000.0, steps_of(steps), kConfig);
        ASSERT_TRUE(series) << series.error().message;
        const SeriesPoint& point = series->points.front();
        ASSERT_TRUE(point.for_10db) << point.problem;
        // S/N of 9.54 dB, by its definition.
        EXPECT_NEAR(point.for_10db->level_dbm.value, -120.0 + 9.5424 / law, 0.15);
        EXPECT_NEAR(point.for_10db->slope.value, law, 0.05);
        EXPECT_LT(point.for_10db->level_dbm.uncertainty_95, 0.3);
        ASSERT_TRUE(point.for_sinad12);
        EXPECT_NEAR(point.for_sinad12->level_dbm.value, -120.0 + 11.717 / law, 0.15);
        EXPECT_FALSE(point.gain_control);
    }
}

TEST(Sensitivity, StepsCountedOrTimed) {
    const std::vector<TestStep> steps{{8.0, {}}, {6.0, -112.0}, {6.0, -108.0}, {6.0, -104.0}};
    auto counted = steps_of(steps);
    for (LevelStep& step : counted) step.from_s = step.to_s = std::nullopt;
    const auto audio = made({.seed = 5}, steps);
    const auto series = measure_series(audio, 8000.0, counted, kConfig);
    ASSERT_TRUE(series) << series.error().message;
    EXPECT_NEAR(series->points.front().for_10db->level_dbm.value, -110.46, 0.2);
    counted.push_back({.dbm = -100.0});
    const auto refused = measure_series(audio, 8000.0, counted, kConfig);
    ASSERT_FALSE(refused);
    EXPECT_NE(refused.error().message.find("5 steps are named, 4 were found"), std::string::npos);
    auto beyond = steps_of(steps);
    beyond.back().from_s = 100.0;
    beyond.back().to_s = 110.0;
    EXPECT_NE(measure_series(audio, 8000.0, beyond, kConfig).error().message.find("beyond"),
              std::string::npos);
    auto no_off = steps_of(steps);
    no_off.erase(no_off.begin());
    EXPECT_NE(measure_series(audio, 8000.0, no_off, kConfig).error().message.find("off"),
              std::string::npos);
}

TEST(Sensitivity, GainControlSpoilsTheRatioButNotSinad) {
    const std::vector<TestStep> steps{{8.0, {}}, {6.0, -114.0}, {6.0, -108.0}, {6.0, -102.0}};
    const TestReceiver set{.gain_control = true, .seed = 6};
    const auto series = measure_series(made(set, steps), 8000.0, steps_of(steps), kConfig);
    ASSERT_TRUE(series) << series.error().message;
    const SeriesPoint& point = series->points.front();
    EXPECT_TRUE(point.gain_control);
    EXPECT_FALSE(point.for_10db);
    EXPECT_NE(point.problem.find("gain control"), std::string::npos);
    ASSERT_TRUE(point.for_sinad12);
    EXPECT_NEAR(point.for_sinad12->level_dbm.value, -108.28, 0.2);
}

}  // namespace
}  // namespace skedlark::bench
