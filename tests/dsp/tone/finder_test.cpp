#include "dsp/tone/finder.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/dsp/tone/keyed_signal.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

constexpr double kDeviation = 0.05;

std::mt19937 seeded(std::uint64_t seed) {
    return std::mt19937(static_cast<std::mt19937::result_type>(support::test_seed(seed)));
}

Finder make(const FinderConfig& config = {}) {
    auto finder = Finder::create(config);
    EXPECT_TRUE(finder.ok());
    return std::move(*finder);
}

std::vector<ToneEvent> tell(Finder& finder, const std::vector<float>& audio) {
    std::vector<Event> events;
    finder.process(audio, events);
    std::vector<ToneEvent> tones;
    for (const Event& event : events) tones.push_back(std::get<ToneEvent>(event));
    return tones;
}

// 90 % at -24 dB in 20 s is the claim of the study over hundreds of seeds; 30 here, of which fewer
// than 22 would come in under 0.3 % of runs at 90 %.
TEST(Finder, FindsKeyedTonesAtMinusTwentyFourDecibels) {
    auto random = seeded(151);
    std::uniform_real_distribution<double> wpm(12.0, 20.0);
    std::uniform_real_distribution<double> pitch(300.0, 2800.0);
    std::uniform_real_distribution<double> rate(-0.02, 0.02);
    int found = 0;
    for (int trial = 0; trial < 30; ++trial) {
        const double hz = pitch(random);
        const double drift = rate(random);
        auto audio = test::white_noise(20.0, kDeviation, random);
        test::add_tone(audio, test::random_keying(20.0, wpm(random), random, 0.08),
                       test::amplitude_for(-24.0, kDeviation),
                       [=](double t) { return hz + drift * t; });
        auto finder = make();
        tell(finder, audio);
        for (const auto& tone : finder.tones()) {
            found += std::abs(tone.event.pitch_hz - hz - 20.0 * drift) < 2.0 ? 1 : 0;
            EXPECT_LT(tone.event.false_alarm_odds, 0.05);
        }
    }
    EXPECT_GE(found, 22);
}

// 20 minutes of noise at 1 an hour: three false alarms or more would come in under 0.5 % of runs.
TEST(Finder, MakesHardlyAnyFalseAlarms) {
    auto random = seeded(152);
    auto finder = make();
    int alarms = 0;
    for (int minute = 0; minute < 20; ++minute)
        alarms +=
            static_cast<int>(tell(finder, test::white_noise(60.0, kDeviation, random)).size());
    EXPECT_LE(alarms, 2);
}

TEST(Finder, NamesAStrongToneOnceWithLevelAndVerdict) {
    for (const double snr_db : {-10.0, 0.0, 20.0, 30.0}) {
        auto random = seeded(153);
        auto audio = test::white_noise(30.0, kDeviation, random);
        test::add_tone(audio, test::random_keying(30.0, 18.0, random),
                       test::amplitude_for(snr_db, kDeviation), [](double) { return 812.3; });
        auto finder = make();
        tell(finder, audio);
        ASSERT_EQ(finder.tones().size(), 1U) << snr_db << " dB";
        const auto& tone = finder.tones()[0];
        EXPECT_NEAR(tone.event.pitch_hz, 812.3, 0.3);
        EXPECT_TRUE(tone.event.keyed.value_or(false));
        EXPECT_NEAR(tone.event.snr_2500hz_db, snr_db, 3.0);
        EXPECT_LT(seconds_from_frames(tone.first_frame), 6.0);
    }
}

// What so strong a tone leaks is far over the noise: it was taken for static and weighed down with
// the key, so that only its edges were left, as side lobes of unknown keying.
TEST(Finder, NamesAToneFarAboveTheNoiseOnceAndKeyed) {
    for (const double snr_db : {45.0, 60.0}) {
        auto random = seeded(159);
        auto audio = test::white_noise(30.0, 1e-4, random);
        test::add_tone(audio, test::random_keying(30.0, 14.0, random, 0.05),
                       test::amplitude_for(snr_db, 1e-4), [](double) { return 712.3; });
        auto finder = make();
        tell(finder, audio);
        ASSERT_EQ(finder.tones().size(), 1U) << snr_db << " dB";
        EXPECT_NEAR(finder.tones()[0].event.pitch_hz, 712.3, 0.3);
        EXPECT_TRUE(finder.tones()[0].event.keyed.value_or(false)) << snr_db << " dB";
        EXPECT_NEAR(finder.tones()[0].event.snr_2500hz_db, snr_db, 4.0);
    }
}

TEST(Finder, FindsBothOfTwoStationsAHundredHertzApart) {
    auto random = seeded(154);
    auto audio = test::white_noise(30.0, kDeviation, random);
    test::add_tone(audio, test::random_keying(30.0, 16.0, random),
                   test::amplitude_for(2.0, kDeviation), [](double) { return 700.0; });
    test::add_tone(audio, test::random_keying(30.0, 19.0, random),
                   test::amplitude_for(4.0, kDeviation), [](double) { return 800.0; });
    auto finder = make();
    tell(finder, audio);
    ASSERT_EQ(finder.tones().size(), 2U);
    for (const auto& tone : finder.tones()) EXPECT_TRUE(tone.event.keyed.value_or(false));
}

TEST(Finder, HumLinesAndCarriersAreNotCalledKeyed) {
    auto random = seeded(155);
    auto audio = test::white_noise(40.0, kDeviation, random);
    const std::vector<float> always(audio.size(), 1.0F);
    for (int multiple = 1; multiple <= 6; ++multiple)
        test::add_tone(audio, always, 0.05 / multiple,
                       [=](double t) { return multiple * (100.0 + 0.02 * std::sin(0.3 * t)); });
    test::add_tone(audio, always, test::amplitude_for(-10.0, kDeviation),
                   [](double) { return 1533.0; });
    auto finder = make();
    tell(finder, audio);
    EXPECT_GE(finder.tones().size(), 2U);
    for (const auto& tone : finder.tones()) EXPECT_FALSE(tone.event.keyed.value_or(false));
}

// A voice: harmonics of a moving fundamental, in syllables, with pauses.
TEST(Finder, AVoiceIsNotCalledKeyed) {
    auto random = seeded(156);
    std::normal_distribution<double> normal;
    std::vector<float> audio = test::white_noise(60.0, 0.01, random);
    double base = 120.0;
    double loud = 0.0;
    double wanted = 0.0;
    double phase = 0.0;
    for (std::size_t n = 0; n < audio.size(); ++n) {
        if (n % 1600 == 0) {  // five syllables a second, a fifth of them silent
            wanted =
                std::bernoulli_distribution(0.8)(random) ? std::exp(0.5 * normal(random)) : 0.0;
            base = std::clamp(base + 8.0 * normal(random), 90.0, 180.0);
        }
        loud += (wanted - loud) / 300.0;
        phase += 2.0 * std::numbers::pi * (base + 3.0 * std::sin(static_cast<double>(n) / 700.0)) /
                 8000.0;
        double sample = 0.0;
        for (int harmonic = 2; harmonic < 20; ++harmonic)
            sample += std::cos(harmonic * phase) / harmonic;
        audio[n] += static_cast<float>(0.1 * loud * sample);
    }
    auto finder = make();
    int keyed = 0;
    for (const auto& tone : tell(finder, audio)) keyed += tone.keyed.value_or(false) ? 1 : 0;
    EXPECT_LE(keyed, 1);
}

TEST(Finder, SameEventsForAnySplitAndAfterReset) {
    auto random = seeded(157);
    auto audio = test::white_noise(15.0, kDeviation, random);
    test::add_tone(audio, test::random_keying(15.0, 18.0, random),
                   test::amplitude_for(-5.0, kDeviation), [](double) { return 900.0; });
    auto whole = make();
    const auto once = tell(whole, audio);
    ASSERT_FALSE(once.empty());
    whole.reset(0);
    EXPECT_TRUE(whole.tones().empty());
    std::vector<Event> events;
    for (std::size_t n = 0; n < audio.size(); n += 997)
        whole.process(std::span(audio).subspan(n, std::min<std::size_t>(997, audio.size() - n)),
                      events);
    ASSERT_EQ(events.size(), once.size());
    for (std::size_t n = 0; n < once.size(); ++n) {
        const auto& event = std::get<ToneEvent>(events[n]);
        EXPECT_EQ(event.at_frame, once[n].at_frame);
        EXPECT_EQ(event.pitch_hz, once[n].pitch_hz);
        EXPECT_EQ(event.keyed, once[n].keyed);
    }
    EXPECT_EQ(whole.next_frame(), static_cast<FrameIndex>(audio.size()));
}

TEST(Finder, SilenceConstantLostAndNanGiveNothing) {
    for (const float value : {0.0F, 0.5F, std::nanf("")}) {
        auto finder = make();
        EXPECT_TRUE(tell(finder, std::vector<float>(160000, value)).empty());
    }
    auto random = seeded(158);
    auto finder = make();
    std::vector<Event> events;
    auto audio = test::white_noise(20.0, kDeviation, random);
    test::add_tone(audio, std::vector<float>(audio.size(), 1.0F), 0.5,
                   [](double) { return 900.0; });
    finder.process(audio, events, true);
    EXPECT_TRUE(events.empty());
}

TEST(Finder, RefusesBadSettings) {
    EXPECT_FALSE(Finder::create({.low_hz = 3000.0, .high_hz = 200.0}).ok());
    EXPECT_FALSE(Finder::create({.high_hz = 3981.0}).ok());
    EXPECT_FALSE(Finder::create({.false_alarms_per_hour = 0.0}).ok());
    EXPECT_FALSE(Finder::create({.forget_s = 1.0}).ok());
}

}  // namespace
}  // namespace skedlark::tone
