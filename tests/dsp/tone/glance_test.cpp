#include "dsp/tone/glance.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "dsp/core/units.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

// White noise of 0.1, and a tone at pitch(t), keyed 0.3 s on, 0.2 s off; key-down SNR in 2500 Hz.
template <typename Pitch>
std::vector<float> tone_in_noise(double seconds, double snr_2500hz_db, std::uint64_t seed,
                                 Pitch pitch) {
    std::mt19937_64 random(seed);
    std::normal_distribution<float> normal(0.0F, 0.1F);
    const double density = 0.01 / 4000.0;
    const double amplitude =
        std::sqrt(2.0 * density * 2500.0 * std::pow(10.0, snr_2500hz_db / 10.0));
    std::vector<float> audio;
    double phase = 0.0;
    for (double at_s = 0.0; at_s < seconds; at_s += 1.0 / kWorkRateHz) {
        phase += 2.0 * std::numbers::pi * pitch(at_s) / kWorkRateHz;
        const bool down = std::fmod(at_s, 0.5) < 0.3;
        audio.push_back(normal(random) +
                        (down ? static_cast<float>(amplitude * std::sin(phase)) : 0.0F));
    }
    return audio;
}

std::vector<Glance> seen(const std::vector<float>& audio, std::size_t block = 1600) {
    auto meter = GlanceMeter::create({});
    EXPECT_TRUE(meter.ok());
    std::vector<Glance> out;
    for (std::size_t at = 0; at < audio.size(); at += block)
        meter->process(std::span(audio).subspan(at, std::min(block, audio.size() - at)), out);
    return out;
}

TEST(Glance, FollowsAStrongToneAsTheDialTurns) {
    const auto pitch = [](double at_s) {
        return at_s < 4.0 ? 600.0 : 600.0 + 150.0 * (at_s - 4.0);
    };
    const auto glances = seen(tone_in_noise(12.0, 0.0, support::test_seed(5), pitch));
    ASSERT_GT(glances.size(), 40U);
    for (const Glance& one : glances) {
        EXPECT_LT(one.look_s, 0.6);
        // It looks half a second back.
        EXPECT_NEAR(one.pitch_hz, pitch(one.at_s - 0.3), 60.0) << one.at_s;
    }
}

TEST(Glance, AWeakToneAtRestTakesLonger) {
    const auto pitch = [](double) { return 1234.0; };
    int quick = 0, late = 0;
    double squares = 0.0, stated = 0.0;
    for (std::uint64_t seed = 0; seed < 5; ++seed) {
        for (const Glance& one :
             seen(tone_in_noise(20.0, -18.0, support::test_seed(60) + seed, pitch))) {
            ++(one.look_s < 1.0 ? quick : late);
            EXPECT_NEAR(one.pitch_hz, 1234.0, 12.0);
            squares += std::pow(one.pitch_hz - 1234.0, 2.0);
            stated += one.pitch_sd_hz * one.pitch_sd_hz;
        }
    }
    EXPECT_GT(late, 100);
    EXPECT_LT(quick, late);
    // The stated error is of the right size.
    EXPECT_GT(squares, 0.2 * stated);
    EXPECT_LT(squares, 4.0 * stated);
}

TEST(Glance, KeepsToItsToneWhereAStrongerOneComes) {
    auto audio = tone_in_noise(10.0, -3.0, support::test_seed(7), [](double) { return 700.0; });
    const auto other =
        tone_in_noise(10.0, 5.0, support::test_seed(8), [](double) { return 1900.0; });
    for (std::size_t n = 5 * 8000; n < audio.size(); ++n) audio[n] += other[n];
    for (const Glance& one : seen(audio)) EXPECT_NEAR(one.pitch_hz, 700.0, 15.0) << one.at_s;
}

TEST(Glance, NoiseAloneShowsHardlyAnything) {
    std::mt19937_64 random(support::test_seed(9));
    std::normal_distribution<float> normal(0.0F, 0.1F);
    std::vector<float> audio(static_cast<std::size_t>(900 * kWorkRateHz));
    for (float& sample : audio) sample = normal(random);
    // A quarter of an hour at 6 an hour; one that shows stays in the look for up to 6 s, 24 glances.
    std::vector<double> begins;
    for (const Glance& one : seen(audio, 100000))
        if (begins.empty() || one.at_s - begins.back() > 8.0) begins.push_back(one.at_s);
    EXPECT_LE(begins.size(), 7U);
}

TEST(Glance, TheSameForAnySplitAndForBadSamples) {
    auto audio = tone_in_noise(6.0, -5.0, support::test_seed(11), [](double) { return 900.0; });
    const auto whole = seen(audio, audio.size());
    const auto split = seen(audio, 37);
    ASSERT_EQ(whole.size(), split.size());
    for (std::size_t n = 0; n < whole.size(); ++n) EXPECT_EQ(whole[n].pitch_hz, split[n].pitch_hz);
    for (std::size_t n = 0; n < audio.size(); n += 977) audio[n] = std::nanf("");
    for (const Glance& one : seen(audio)) EXPECT_TRUE(std::isfinite(one.pitch_hz));
    EXPECT_TRUE(seen(std::vector<float>(80000, 0.0F)).empty());
}

TEST(Glance, SettingsThatCannotBe) {
    EXPECT_FALSE(GlanceMeter::create({.low_hz = 10.0}).ok());
    EXPECT_FALSE(GlanceMeter::create({.high_hz = 4000.0}).ok());
    EXPECT_FALSE(GlanceMeter::create({.low_hz = 500.0, .high_hz = 400.0}).ok());
    EXPECT_FALSE(GlanceMeter::create({.false_alarms_per_hour = 0.0}).ok());
}

}  // namespace
}  // namespace skedlark::tone
