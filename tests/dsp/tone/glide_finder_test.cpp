#include "dsp/tone/glide_finder.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "dsp/synth/fist.h"
#include "dsp/synth/sweep_scene.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

GlideFinderConfig paced(double rate_hz_per_s) {
    GlideFinderConfig config;
    config.slowest_hz_per_s = 0.8 * rate_hz_per_s;
    config.fastest_hz_per_s = 1.25 * rate_hz_per_s;
    return config;
}

std::vector<GlideStation> find(const std::vector<float>& audio, const GlideFinderConfig& config) {
    auto finder = GlideFinder::create(config);
    EXPECT_TRUE(finder.ok());
    finder->process(audio);
    finder->finish();
    return finder->stations();
}

synth::SweepStation keyed(double at_hz, double level_db) {
    synth::SweepStation one;
    one.at_hz = at_hz;
    one.station.keep_sending = true;
    one.station.speed_wpm = 16.0;
    one.station.level_db = level_db;
    one.station.fist = *synth::fist_by_name("ordinary");
    return one;
}

synth::SweepStation carrier(double at_hz, double level_db) {
    synth::SweepStation one;
    one.at_hz = at_hz;
    one.station.carrier = true;
    one.station.level_db = level_db;
    return one;
}

synth::SweepSceneConfig scene_of(std::uint64_t seed, double snr_2500hz_db) {
    synth::SweepSceneConfig config;
    config.seed = support::test_seed(seed);
    config.seconds = 40.0;
    config.snr_2500hz_db = snr_2500hz_db;
    config.dial.rate_hz_per_s = 1000.0;
    config.dial.wobble = 0.2;
    return config;
}

// 90 % at -16 dB and 0.1 s are the claim of the study over many seeds; four stations here.
TEST(GlideFinder, FindsWeakStationsAndTheirZeroBeats) {
    auto config = scene_of(2003, -14.0);
    for (const double at_hz : {7000.0, 15000.0, 23000.0, 31000.0})
        config.stations.push_back(keyed(at_hz, 0.0));
    const auto scene = synth::make_sweep_scene(config);
    ASSERT_TRUE(scene.ok());
    const auto found = find(scene->samples, paced(1000.0));
    ASSERT_EQ(found.size(), 4U);
    for (std::size_t n = 0; n < 4; ++n) {
        EXPECT_NEAR(found[n].zero_beat_s, scene->truth.stations[n].zero_beats_s.front(), 0.1);
        EXPECT_NE(found[n].keyed, std::optional(false));
        EXPECT_NEAR(found[n].snr_2500hz_db, -14.0, 5.0);
        EXPECT_LT(found[n].false_alarm_odds, 0.5);
        EXPECT_GT(found[n].rate_hz_per_s, 700.0);
        EXPECT_LT(found[n].rate_hz_per_s, 1300.0);
        EXPECT_LT(found[n].from_s, found[n].zero_beat_s);
        EXPECT_GT(found[n].to_s, found[n].zero_beat_s);
    }
}

TEST(GlideFinder, TellsKeyedFromSteadyAndWeakBesideStrong) {
    auto config = scene_of(2007, -5.0);
    config.stations = {keyed(8000.0, 0.0), carrier(14000.0, 0.0), keyed(22000.0, 30.0),
                       keyed(23500.0, 0.0), carrier(30000.0, 25.0)};
    const auto scene = synth::make_sweep_scene(config);
    ASSERT_TRUE(scene.ok());
    const auto found = find(scene->samples, paced(1000.0));
    ASSERT_EQ(found.size(), 5U);
    for (std::size_t n = 0; n < 5; ++n) {
        EXPECT_NEAR(found[n].zero_beat_s, scene->truth.stations[n].zero_beats_s.front(), 0.05);
        ASSERT_TRUE(found[n].keyed.has_value()) << n;
        EXPECT_EQ(*found[n].keyed, n != 1 && n != 4) << n;
        EXPECT_NEAR(found[n].snr_2500hz_db, -5.0 + config.stations[n].station.level_db, 2.0);
        EXPECT_FALSE(found[n].broadcast);
    }
}

TEST(GlideFinder, BroadcastsAreOneStationEachAndNamed) {
    auto config = scene_of(2011, 10.0);
    config.sample_rate_hz = 8000.0;
    config.seconds = 50.0;
    config.stations = {carrier(12000.0, 0.0), carrier(36000.0, 0.0)};
    config.stations[0].programme = synth::ProgrammeKind::speech;
    config.stations[1].programme = synth::ProgrammeKind::music;
    const auto scene = synth::make_sweep_scene(config);
    ASSERT_TRUE(scene.ok());
    const auto found = find(scene->samples, paced(1000.0));
    ASSERT_EQ(found.size(), 2U);
    for (std::size_t n = 0; n < 2; ++n) {
        EXPECT_NEAR(found[n].zero_beat_s, scene->truth.stations[n].zero_beats_s.front(), 0.1);
        EXPECT_TRUE(found[n].broadcast);
        EXPECT_EQ(found[n].keyed, std::optional(false));
    }
}

TEST(GlideFinder, AnySplitTellsTheSame) {
    auto config = scene_of(2013, -8.0);
    config.seconds = 20.0;
    config.stations = {keyed(9000.0, 0.0)};
    const auto scene = synth::make_sweep_scene(config);
    ASSERT_TRUE(scene.ok());
    const auto whole = find(scene->samples, paced(1000.0));
    auto finder = GlideFinder::create(paced(1000.0));
    ASSERT_TRUE(finder.ok());
    for (std::size_t at = 0; at < scene->samples.size();) {
        const std::size_t size = std::min<std::size_t>(1 + at % 1999, scene->samples.size() - at);
        finder->process({scene->samples.data() + at, size});
        at += size;
    }
    finder->finish();
    ASSERT_EQ(finder->stations().size(), whole.size());
    ASSERT_EQ(whole.size(), 1U);
    EXPECT_EQ(finder->stations()[0].zero_beat_s, whole[0].zero_beat_s);
    EXPECT_EQ(finder->stations()[0].false_alarm_odds, whole[0].false_alarm_odds);
}

TEST(GlideFinder, TellsWithinItsLatency) {
    auto config = scene_of(2017, 0.0);
    config.seconds = 60.0;
    config.stations = {keyed(20000.0, 0.0)};
    const auto scene = synth::make_sweep_scene(config);
    ASSERT_TRUE(scene.ok());
    auto finder = GlideFinder::create(paced(1000.0));
    ASSERT_TRUE(finder.ok());
    const double zero_s = scene->truth.stations.front().zero_beats_s.front();
    double told_s = 0.0;
    for (std::size_t at = 0; at + 800 <= scene->samples.size() && told_s == 0.0; at += 800) {
        finder->process({scene->samples.data() + at, 800});
        if (!finder->stations().empty()) told_s = static_cast<double>(at + 800) / kWorkRateHz;
    }
    ASSERT_GT(told_s, 0.0);
    EXPECT_LT(told_s, zero_s + finder->latency_s());
}

TEST(GlideFinder, NothingGlidesInTheseSounds) {
    std::mt19937_64 random(support::test_seed(2021));
    std::normal_distribution<double> normal;
    const auto make = [&](double noise, auto&& signal) {
        std::vector<float> audio(60 * 8000);
        for (std::size_t n = 0; n < audio.size(); ++n)
            audio[n] = static_cast<float>(noise * normal(random) +
                                          signal(static_cast<double>(n) / kWorkRateHz));
        return audio;
    };
    const auto sine = [](double hz, double t) { return std::sin(2.0 * std::numbers::pi * hz * t); };
    GlideFinderConfig wide;
    wide.false_alarms_per_hour = 0.05;
    EXPECT_TRUE(find(make(0.0, [](double) { return 0.0; }), wide).empty());
    EXPECT_TRUE(find(make(0.0, [](double) { return 0.3; }), wide).empty());
    EXPECT_TRUE(find(make(0.01, [](double t) { return t < 30.0 ? 0.0 : 0.5; }), wide).empty());
    EXPECT_TRUE(find(make(0.01,
                          [&](double t) {
                              return 0.1 * sine(100.0, t) + 0.1 * sine(300.0, t) +
                                     0.1 * sine(700.0, t);
                          }),
                     wide)
                    .empty());
    // A tone at rest, keyed by hand for half of the time.
    EXPECT_TRUE(
        find(make(0.01,
                  [&](double t) { return std::fmod(t, 0.31) < 0.15 ? 0.1 * sine(900.0, t) : 0.0; }),
             wide)
            .empty());
    // Crashes of static.
    EXPECT_TRUE(
        find(make(0.01,
                  [&](double t) { return std::fmod(t, 0.7) < 0.02 ? 0.3 * normal(random) : 0.0; }),
             wide)
            .empty());
}

TEST(GlideFinder, ConfigurationErrorsNameTheField) {
    const auto fails = [](const GlideFinderConfig& config, const std::string& field) {
        const auto finder = GlideFinder::create(config);
        ASSERT_FALSE(finder.ok());
        EXPECT_EQ(finder.error().message.find(field), 0U) << finder.error().message;
    };
    GlideFinderConfig config;
    config.low_hz = 20.0;
    fails(config, "low_hz");
    config = {};
    config.high_hz = 4000.0;
    fails(config, "high_hz");
    config = {};
    config.slowest_hz_per_s = 100.0;
    fails(config, "slowest_hz_per_s");
    config = {};
    config.fastest_hz_per_s = 9000.0;
    fails(config, "fastest_hz_per_s");
    config = {};
    config.false_alarms_per_hour = 0.0;
    fails(config, "false_alarms_per_hour");
}

TEST(GlideFinder, TellsTheNoiseItListensIn) {
    auto finder = GlideFinder::create({});
    ASSERT_TRUE(finder.ok());
    std::mt19937_64 random(support::test_seed(71));
    std::normal_distribution<float> normal(0.0F, 0.1F);
    std::vector<float> audio(static_cast<std::size_t>(40 * kWorkRateHz));
    for (std::size_t n = 0; n < audio.size(); ++n) {
        audio[n] = normal(random) * (n < audio.size() / 2 ? 1.0F : 3.1622777F);  // 10 dB louder
        if (n > audio.size() * 9 / 10) audio[n] = 0.0F;
    }
    finder->process(audio);
    finder->finish();
    const auto& noise = finder->noise();
    ASSERT_GT(noise.size(), 5U);
    EXPECT_EQ(noise.front().from_s, 0.0);
    for (std::size_t n = 1; n < noise.size(); ++n) EXPECT_EQ(noise[n].from_s, noise[n - 1].to_s);
    EXPECT_NEAR(noise.back().to_s, 40.0, 0.5);
    // White noise of mean square 0.01 over 4000 Hz; 1 and 3.5 are where nothing else is in the batch.
    EXPECT_NEAR(10.0 * std::log10(noise[1].density / (0.01 / 4000.0)), 0.0, 0.5);
    for (const GlideNoise& one : noise) {
        if (one.from_s < 22.0 || one.to_s > 34.0) continue;
        EXPECT_NEAR(10.0 * std::log10(one.density / (0.1 / 4000.0)), 0.0, 0.5);
    }
    EXPECT_EQ(noise.back().density, 0.0);
}

}  // namespace
}  // namespace skedlark::tone
