#include "dsp/tone/line_search.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/tone/detection_theory.h"
#include "tests/dsp/tone/keyed_signal.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

constexpr double kDeviation = 0.1;
const std::vector<float> kDensity(257,
                                  static_cast<float>(2.0 * kDeviation * kDeviation / kWorkRateHz));

const std::vector<float> kOne(1, 1.0F);  // weight of a sample

std::mt19937 seeded(std::uint64_t seed) {
    return std::mt19937(static_cast<std::mt19937::result_type>(support::test_seed(seed)));
}

// Feeds audio; counts the candidates near hz (all, where hz is 0) row by row.
int run(LineSearch& search, const std::vector<float>& audio, double hz = 0.0) {
    int found = 0;
    for (const float sample : audio) {
        if (!search.push({&sample, 1}, kOne, kDensity, 15.625)) continue;
        for (const auto& candidate : search.candidates())
            found += hz == 0.0 || std::abs(candidate.pitch_hz - hz) < 8.0 ? 1 : 0;
    }
    return found;
}

// Eight rows that do not overlap, one sum: the textbook case of a steady tone in a fixed number of
// looks. Expected by the exact square law at the Pfa of one cell; Albersheim's formula must agree
// with it.
TEST(LineSearch, DetectsASteadyToneAsTheSquareLawSays) {
    auto random = seeded(131);
    constexpr int kLooks = 8;
    constexpr int kWindow = 2048;
    LineSearchConfig config{.low_hz = 500.0,
                            .high_hz = 2500.0,
                            .window = kWindow,
                            .hop = kWindow,
                            .transform = kWindow,
                            .levels = 4,
                            .first_level = 3,
                            .max_rate_hz_per_s = 0.0,
                            .false_alarms_per_hour = 20.0};
    auto search = LineSearch::create(config);
    ASSERT_TRUE(search.ok());
    const double false_alarm = config.false_alarms_per_hour / search->trials_per_hour(3);
    const double threshold = test::square_law_threshold(false_alarm, kLooks);
    for (const double wanted : {0.3, 0.5, 0.9}) {
        const double look_db = test::square_law_snr_db(wanted, false_alarm, kLooks);
        EXPECT_NEAR(look_db, test::albersheim_db(wanted, false_alarm, kLooks), 0.5);
        // Energy of a Hann row: carrier over density times length over 1.5.
        const double c_n0 = std::pow(10.0, 0.1 * look_db) * 1.5 / (kWindow / kWorkRateHz);
        const double snr_db = 10.0 * std::log10(c_n0 / 2500.0);
        const double hz = 256 * kWorkRateHz / kWindow;  // the middle of a cell
        int found = 0;
        constexpr int kTrials = 150;
        for (int trial = 0; trial < kTrials; ++trial) {
            search->reset();
            auto audio = test::white_noise(kLooks * kWindow / kWorkRateHz, kDeviation, random);
            test::add_tone(audio, std::vector<float>(audio.size(), 1.0F),
                           test::amplitude_for(snr_db, kDeviation), [hz](double) { return hz; });
            found += run(*search, audio, hz) > 0 ? 1 : 0;
        }
        // Dividing by medians of the row costs up to 0.4 dB (a constant false-alarm rate is not
        // free); three standard deviations of the trials on top.
        const auto expected = [&](double off_db) {
            return test::square_law_detection(std::pow(10.0, 0.1 * (look_db + off_db)), threshold,
                                              kLooks);
        };
        const double slack = 3.0 * std::sqrt(wanted * (1.0 - wanted) / kTrials);
        EXPECT_GT(static_cast<double>(found) / kTrials, expected(-0.4) - slack) << look_db;
        EXPECT_LT(static_cast<double>(found) / kTrials, expected(0.1) + slack) << look_db;
    }
}

// With many false alarms allowed, as many must come: the trials an hour are what they are said to
// be.
TEST(LineSearch, MakesAsManyFalseAlarmsAsAllowed) {
    auto random = seeded(132);
    for (const int levels : {1, 4}) {
        auto search = LineSearch::create({.low_hz = 300.0,
                                          .high_hz = 2700.0,
                                          .window = 8192,
                                          .hop = 4096,
                                          .transform = 16384,
                                          .levels = levels,
                                          .max_rate_hz_per_s = 0.02,
                                          .false_alarms_per_hour = 400.0});
        ASSERT_TRUE(search.ok());
        int found = 0;
        for (int minute = 0; minute < 20; ++minute)
            found += run(*search, test::white_noise(60.0, kDeviation, random));
        // Expected 133 or less: a sum that stays above for several rows counts once for the tone
        // list but each time here, and levels share their noise.
        EXPECT_LT(found, 200) << levels << " levels";
        EXPECT_GT(found, 40) << levels << " levels";
    }
}

TEST(LineSearch, FollowsADriftAndNamesItsRate) {
    auto random = seeded(133);
    auto search = LineSearch::create(
        {.window = 8192, .hop = 4096, .transform = 8192, .levels = 6, .max_rate_hz_per_s = 1.0});
    ASSERT_TRUE(search.ok());
    auto audio = test::white_noise(18.0, kDeviation, random);
    test::add_tone(audio, std::vector<float>(audio.size(), 1.0F),
                   test::amplitude_for(-15.0, kDeviation),
                   [](double t) { return 1000.0 - 0.8 * t; });
    run(*search, audio);
    ASSERT_FALSE(search->candidates().empty());
    const auto& found = search->candidates().front();
    EXPECT_NEAR(found.pitch_hz, 1000.0 - 0.8 * (18.0 - 0.5), 1.0);
    bool rate_seen = false;
    for (const auto& candidate : search->candidates())
        rate_seen = rate_seen || std::abs(candidate.rate_hz_per_s + 0.8) < 0.15;
    EXPECT_TRUE(rate_seen);
}

TEST(LineSearch, NamesTheCarriersPower) {
    auto random = seeded(134);
    auto search = LineSearch::create({});
    ASSERT_TRUE(search.ok());
    auto audio = test::white_noise(7.0, kDeviation, random);
    test::add_tone(audio, std::vector<float>(audio.size(), 1.0F), 0.05,
                   [](double) { return 1000.05; });
    run(*search, audio);
    ASSERT_EQ(search->candidates().size(), 1U);
    EXPECT_NEAR(10.0 * std::log10(search->candidates()[0].carrier_power / (0.05 * 0.05 / 2.0)), 0.0,
                0.6);
    EXPECT_NEAR(search->candidates()[0].pitch_hz, 1000.05, 0.03);
    EXPECT_GT(search->ratio_near(1000.05, 0.0, 0.2, 1), 100.0);
    EXPECT_LT(search->ratio_near(1100.0, 0.0, 0.2, 1), 20.0);
}

TEST(LineSearch, ChanceOfOneRowIsExponential) {
    auto search = LineSearch::create({});
    ASSERT_TRUE(search.ok());
    EXPECT_NEAR(search->noise_chance(9.210, 1), 1e-4, 1e-6);  // -ln 1e-4
    EXPECT_EQ(search->noise_chance(0.0, 1), 1.0);
}

TEST(LineSearch, RefusesBadSettings) {
    EXPECT_FALSE(LineSearch::create({.low_hz = 3000.0, .high_hz = 200.0}).ok());
    EXPECT_FALSE(LineSearch::create({.window = 100}).ok());
    EXPECT_FALSE(LineSearch::create({.window = 1000, .hop = 1001}).ok());
    EXPECT_FALSE(LineSearch::create({.window = 1000, .hop = 500, .transform = 999}).ok());
    EXPECT_FALSE(LineSearch::create({.levels = 0}).ok());
    EXPECT_FALSE(LineSearch::create({.levels = 3, .first_level = 3}).ok());
    EXPECT_FALSE(LineSearch::create({.false_alarms_per_hour = 0.0}).ok());
}

}  // namespace
}  // namespace skedlark::tone
