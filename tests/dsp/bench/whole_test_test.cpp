#include "dsp/bench/whole_test.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/accuracy/bench_events/signals.h"
#include "tests/dsp/bench/test_series.h"
#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

const Measurement* find(const Measured& measured, const std::string& name) {
    for (const Measurement& m : measured.report.measurements) {
        if (m.name == name) return &m;
    }
    ADD_FAILURE() << name;
    return nullptr;
}
double value(const Measured& measured, const std::string& name) {
    const Measurement* m = find(measured, name);
    return m != nullptr ? m->figure.value : 0.0;
}

std::vector<float> noise(double seconds, std::uint64_t seed) {
    accuracy::BenchNoise config;
    config.rate_hz = 8000.0;
    config.seconds = seconds;
    config.seed = seed;
    config.filter = accuracy::valve_filter();
    return accuracy::bench_noise(config);
}

TEST(WholeTest, AToneFromItsRecordingToItsReport) {
    const test::TestTone tone{.snr_db = 20.0};
    const auto audio = test::made(tone);
    const auto measured = tone_test({audio, 8000.0}, {}, nullptr);
    ASSERT_TRUE(measured) << measured.error().message;
    EXPECT_NEAR(value(*measured, "sinad_db"), test::true_sinad_db(tone), 0.2);
    EXPECT_FALSE(measured->picture.empty());
    const auto none = tone_test({std::vector<float>(80000), 8000.0}, {}, nullptr);
    ASSERT_FALSE(none);
    EXPECT_NE(none.error().message.find("no tone"), std::string::npos);
}

// Takes in a row as one recording: (S+N)/N of 10 lg(1 + 10^1.2) = 12.27 dB, the tone 12 dB over the noise.
TEST(WholeTest, GeneratorOnAndOffAsTwoTakes) {
    const test::TestReceiver set{.equal_dbm = -120.0, .seed = 3};
    const auto on = test::made(set, {{10.0, -108.0}});
    const auto off = test::made({.equal_dbm = -120.0, .seed = 4}, {{10.0, {}}});
    const std::span<const float> takes[] = {on, off};
    const Joined joined = join_takes(takes, 8000.0);
    ASSERT_EQ(joined.at.size(), 2U);
    EXPECT_EQ(joined.at[1].from_s, 10.0);
    EXPECT_EQ(joined.at[1].to_s, 20.0);
    const auto measured = sensitivity_test({joined.audio, 8000.0}, {}, nullptr);
    ASSERT_TRUE(measured) << measured.error().message;
    EXPECT_NEAR(value(*measured, "s_plus_n_over_n_db"), 12.27, 0.25);
}

// Level for (S+N)/N of 10 dB lies 9.54 dB over that at which tone and noise are equal.
TEST(WholeTest, ASeriesOfTakesAndItsImage) {
    const auto levels = [](double from, const test::TestReceiver& set) {
        std::vector<std::vector<float>> takes{test::made(set, {{6.0, {}}})};
        for (int i = 0; i < 4; ++i) takes.push_back(test::made(set, {{6.0, from + 4.0 * i}}));
        std::vector<std::span<const float>> views(takes.begin(), takes.end());
        return join_takes(views, 8000.0);
    };
    const auto steps = [](const Joined& joined, double from) {
        std::vector<LevelStep> out;
        for (std::size_t i = 0; i < joined.at.size(); ++i) {
            LevelStep step{.from_s = joined.at[i].from_s, .to_s = joined.at[i].to_s};
            if (i > 0) step.dbm = from + 4.0 * static_cast<double>(i - 1);
            out.push_back(step);
        }
        return out;
    };
    const Joined wanted = levels(-116.0, {.equal_dbm = -120.0, .seed = 5});
    const Joined image = levels(-76.0, {.equal_dbm = -80.0, .seed = 6});
    SensitivityWish wish;
    wish.levels = steps(wanted, -116.0);
    wish.image = LevelSeries{{image.audio, 8000.0}, steps(image, -76.0)};
    const auto measured = sensitivity_test({wanted.audio, 8000.0}, wish, nullptr);
    ASSERT_TRUE(measured) << measured.error().message;
    EXPECT_NEAR(value(*measured, "level_for_10db_dbm"), -110.46, 0.3);
    EXPECT_NEAR(value(*measured, "image_db"), 40.0, 0.5);
    EXPECT_EQ(measured->picture.curves[0].points.size(), 4U);
    wish.image->levels.clear();
    const auto wrong = sensitivity_test({wanted.audio, 8000.0}, wish, nullptr);
    ASSERT_FALSE(wrong);
    EXPECT_EQ(wrong.error().message.rfind("image: ", 0), 0U) << wrong.error().message;
}

TEST(WholeTest, ContactsOfTwoTakesWithoutTheJoint) {
    const auto rest = noise(20.0, 11);
    auto touched = noise(20.0, 12);
    accuracy::apply_gates(touched, 8000.0, {{5.0, 0.01, 30.0}, {9.0, 0.01, 30.0}});
    ContactsConfig config;
    config.sample_rate_hz = 8000.0;
    const auto measured = contacts_of_takes(rest, touched, config);
    ASSERT_TRUE(measured) << measured.error().message;
    EXPECT_NEAR(value(*measured, "dropouts_touched_per_min"), 2.0 * 60.0 / 19.9, 0.05);
    ASSERT_EQ(measured->report.occurrences.size(), 2U);
    EXPECT_NEAR(measured->report.occurrences[0].at_s, 25.0, 0.01);
    EXPECT_FALSE(contacts_of_takes(rest, {}, config).ok());
    // Two takes of a tone whose phases do not meet.
    const auto a = test::made({.seconds = 10.0, .snr_db = 30.0, .seed = 1});
    const auto b = test::made({.seconds = 10.0, .phase_rad = 3.5, .snr_db = 30.0, .seed = 2});
    const auto quiet = contacts_of_takes(a, b, config);
    ASSERT_TRUE(quiet) << quiet.error().message;
    EXPECT_TRUE(quiet->report.occurrences.empty());
}

TEST(WholeTest, HumRingAndPassband) {
    auto audio = test::made({.pitch_hz = 712.0, .snr_db = 40.0});
    for (std::size_t n = 0; n < audio.size(); ++n) {
        audio[n] += 0.02F * static_cast<float>(std::sin(2.0 * std::numbers::pi * 100.2 *
                                                        static_cast<double>(n) / 8000.0));
    }
    const auto hum = hum_test({audio, 8000.0}, {}, nullptr);
    ASSERT_TRUE(hum) << hum.error().message;
    EXPECT_NEAR(value(*hum, "supply_hz"), 50.1, 0.01);
    EXPECT_FALSE(hum->picture.empty());
    auto taps = noise(6.0, 1);
    accuracy::RingSignal ringing;
    ringing.at_s = {0.7, 1.8, 2.9, 4.0, 5.1};
    accuracy::add_ringing(taps, 8000.0, ringing, 3);
    const auto ring = ring_test({taps, 8000.0}, {});
    ASSERT_TRUE(ring) << ring.error().message;
    EXPECT_NEAR(value(*ring, "ring_hz"), 400.0, 4.0);
    EXPECT_FALSE(ring->picture.empty());
    const auto band = passband_test({noise(20.0, 2), 8000.0}, {});
    ASSERT_TRUE(band) << band.error().message;
    EXPECT_GT(value(*band, "width_6db_hz"), 100.0);
    PassbandWish swept;
    swept.sweep = Stretch{1.0, 19.0};
    EXPECT_FALSE(passband_test({noise(20.0, 2), 8000.0}, swept).ok()) << "there is no tone";
}

}  // namespace
}  // namespace skedlark::bench
