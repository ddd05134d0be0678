// Levels against the truth of made-up scenes, and whether the intervals hold it as often as they
// say.
#include "dsp/log/stretch_levels.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/synth/conditions.h"
#include "dsp/synth/fist.h"
#include "dsp/synth/scene.h"
#include "tests/support/seed.h"

namespace skedlark::log {
namespace {

std::vector<float> scene(double level_dbfs, double snr_2500hz_db, double seconds,
                         std::uint64_t seed, const std::string& conditions = "") {
    auto config =
        synth::one_text("QVA7 DE QXB2", 18.0, *synth::fist_by_name("steady"), snr_2500hz_db, seed);
    config.level_dbfs = level_dbfs;
    config.seconds = seconds;
    config.wanted.keep_sending = true;
    EXPECT_TRUE(synth::apply_conditions(conditions, config));
    auto made = synth::make_scene(config);
    EXPECT_TRUE(made) << made.error().message;
    return made ? made->samples : std::vector<float>{};
}

TEST(StretchLevels, SignalAndNoiseAreThoseOfTheScene) {
    std::uint64_t seed = support::test_seed(21);
    for (const double snr_db : {15.0, 3.0, -6.0}) {
        const auto levels = levels_of_audio(scene(-30.0, snr_db, 90.0, ++seed), 700.0);
        ASSERT_TRUE(levels) << levels.error().message;
        EXPECT_NEAR(levels->signal_dbfs.value_db, -30.0, 0.8) << snr_db;
        EXPECT_NEAR(levels->noise_dbfs.value_db, -30.0 - snr_db, 0.5) << snr_db;
        EXPECT_NEAR(levels->snr_2500hz_db.value_db, snr_db, 1.0);
        EXPECT_NEAR(levels->seconds, 89.9, 0.2);
        EXPECT_LT(levels->signal_dbfs.half_width_95_db, 1.6);
    }
}

// Two stretches of 45 s each, the second 4 dB stronger in signal and 2 dB in noise, at -3 dB. Of 20
// pairs 95 % should hold the truth: 15 or fewer would be one chance in 400 (binomial).
TEST(StretchLevels, TheIntervalsHoldTheChange) {
    const std::uint64_t first = support::test_seed(1000);
    int signal = 0;
    int noise = 0;
    int ratio = 0;
    double widest_db = 0.0;
    constexpr int kPairs = 20;
    for (std::uint64_t i = 0; i < kPairs; ++i) {
        const auto before =
            levels_of_audio(scene(-34.0, -3.0, 45.0, support::seed_for_part(first, 2 * i)), 700.0);
        const auto after = levels_of_audio(
            scene(-30.0, -1.0, 45.0, support::seed_for_part(first, 2 * i + 1)), 700.0);
        ASSERT_TRUE(before && after);
        const StretchComparison both = compare(*before, *after);
        const auto holds = [](const Level& change, double truth_db) {
            return std::abs(change.value_db - truth_db) <= change.half_width_95_db ? 1 : 0;
        };
        signal += holds(both.signal_change_db, 4.0);
        noise += holds(both.noise_change_db, 2.0);
        ratio += holds(both.snr_change_db, 2.0);
        widest_db = std::max(widest_db, both.signal_change_db.half_width_95_db);
    }
    RecordProperty("signal", signal);
    RecordProperty("noise", noise);
    RecordProperty("ratio", ratio);
    EXPECT_GE(signal, 16);
    EXPECT_GE(noise, 16);
    EXPECT_GE(ratio, 16);
    EXPECT_LT(widest_db, 3.0) << "an interval that holds everything is no use";
}

// With fading the mean of one minute is itself uncertain, and the interval must say so.
TEST(StretchLevels, FadingWidensTheInterval) {
    const std::uint64_t first = support::test_seed(1100);
    int held = 0;
    double width_db = 0.0;
    constexpr int kPairs = 8;
    for (std::uint64_t i = 0; i < kPairs; ++i) {
        const auto before = levels_of_audio(
            scene(-30.0, 6.0, 120.0, support::seed_for_part(first, 2 * i), "f1487:mid-moderate"),
            700.0);
        const auto after =
            levels_of_audio(scene(-30.0, 6.0, 120.0, support::seed_for_part(first, 2 * i + 1),
                                  "f1487:mid-moderate"),
                            700.0);
        ASSERT_TRUE(before && after);
        const Level change = compare(*before, *after).signal_change_db;
        held += std::abs(change.value_db) <= change.half_width_95_db ? 1 : 0;
        width_db += change.half_width_95_db / kPairs;
    }
    RecordProperty("held", held);
    EXPECT_GE(held, 6);
    EXPECT_GT(width_db, 0.7);
}

TEST(StretchLevels, WhetherAChangeIsClear) {
    EXPECT_TRUE(StretchComparison::is_clear({2.0, 1.9}));
    EXPECT_TRUE(StretchComparison::is_clear({-2.0, 1.9}));
    EXPECT_FALSE(StretchComparison::is_clear({2.0, 2.1}));
}

TEST(StretchLevels, SilenceNoiseAndShortStretchesAreRefused) {
    const auto refused = [](const std::vector<float>& audio, double pitch_hz = 700.0) {
        const auto levels = levels_of_audio(audio, pitch_hz);
        return levels ? std::string() : levels.error().message;
    };
    EXPECT_NE(refused({}).find("0.0 s of audio"), std::string::npos);
    EXPECT_NE(refused(std::vector<float>(8000 * 40)).find("0.0 s of audio"), std::string::npos);
    EXPECT_NE(refused(scene(-30.0, 10.0, 20.0, 3)).find("30 s or more"), std::string::npos);
    EXPECT_NE(refused(scene(-30.0, 10.0, 40.0, 3), -5.0), "");
    EXPECT_NE(refused(scene(-30.0, 10.0, 40.0, 3), std::nan("")), "");
    EXPECT_FALSE(levels_of_frames({}));
}

TEST(StretchLevels, FramesBeforeTheStretchDoNotCount) {
    std::vector<float> audio = scene(-20.0, 10.0, 40.0, 5);
    const std::vector<float> later = scene(-30.0, 0.0, 60.0, 6);
    audio.insert(audio.end(), later.begin(), later.end());
    const auto levels = levels_of_audio(audio, 700.0, 8000 * 45);
    ASSERT_TRUE(levels) << levels.error().message;
    EXPECT_NEAR(levels->signal_dbfs.value_db, -30.0, 1.0);
    EXPECT_NEAR(levels->seconds, 55.0, 0.3);
}

}  // namespace
}  // namespace skedlark::log
