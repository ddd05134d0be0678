// Whole scenes: SNR, level, length, repeatability, any split, silence, speed of making.
#include "dsp/synth/scene.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/synth/text_makers.h"
#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

using probe::db;

// Definition: key-down tone power A^2/2 over noise power in 2500 Hz, here 100 to 2600 Hz, summed
// from plain transforms. Tone and noise are read apart. 20 s hold 50,000 bins: 0.02 dB of standard
// error.
TEST(Scene, SnrReadsBack) {
    for (const double rate_hz : {8000.0, 11025.0, 48000.0}) {
        for (const double snr_db : {-12.0, 10.0}) {
            SceneConfig config;
            config.sample_rate_hz = rate_hz;
            config.seconds = 20.0;
            config.seed = probe::test_seed();
            config.wanted.carrier = true;
            const auto tone = make_scene(config);
            config.snr_2500hz_db = snr_db;
            config.wanted.carrier = false;
            const auto noise = make_scene(config);
            ASSERT_TRUE(tone && noise);
            const double tone_power = probe::mean_square(tone->samples);
            const auto piece = static_cast<std::size_t>(rate_hz * 0.04);
            const double noise_power =
                probe::power_between(noise->samples, 100.0, 2600.0, rate_hz, piece);
            EXPECT_NEAR(db(tone_power / noise_power), snr_db, 0.1) << rate_hz;
            EXPECT_NEAR(db(tone_power / 0.5), config.level_dbfs, 0.01);
        }
    }
}

// At the highest rate, and through a filter: the SNR is that of the density at the pitch, since
// tone and noise pass the same filter. 60 s hold 10 x 600 cells of density: 0.06 dB of standard
// error.
TEST(Scene, SnrAtThePitchBehindAFilter) {
    SceneConfig config;
    config.seconds = 60.0;
    config.seed = probe::test_seed();
    config.beat.pitch_hz = 2400.0;
    config.receiver.filter.kind = FilterKind::band;
    config.receiver.filter.high_hz = 2000.0;
    config.wanted.carrier = true;
    const auto tone = make_scene(config);
    config.snr_2500hz_db = 3.0;
    config.wanted.carrier = false;
    const auto noise = make_scene(config);
    ASSERT_TRUE(tone && noise);
    const double amplitude =
        2.0 * std::abs(probe::correlate(std::span(tone->samples).subspan(8000), 2400.0, 8000.0));
    EXPECT_LT(20.0 * std::log10(amplitude), config.level_dbfs - 4.0);
    const double density = probe::density_at(noise->samples, 2400.0, 8000.0, 1600);
    EXPECT_NEAR(db(0.5 * amplitude * amplitude / (2500.0 * density)), 3.0, 0.35);
}

TEST(Scene, HighestRate) {
    SceneConfig config = one_text("E", 20.0, Fist{}, 0.0, probe::test_seed());
    config.sample_rate_hz = 192000.0;
    const auto scene = make_scene(config);
    ASSERT_TRUE(scene);
    const double tone_power = 0.5 * std::pow(10.0, -3.0);
    const double noise_power = probe::power_between(scene->samples, 3000.0, 5500.0, 192000.0, 7680);
    EXPECT_NEAR(db(tone_power / noise_power), 0.0, 0.4);
}

SceneConfig busy_scene(std::uint64_t seed) {
    Random random(seed);
    SceneConfig config = one_text(random_groups(6, GroupKind::mixed, random), 22.0,
                                  *fist_by_name("ordinary"), 2.0, seed);
    config.beat.wander_hz = 3.0;
    config.beat.knocks = {{3.0, 60.0}};
    config.wanted.channel = *channel_by_name("mid-disturbed");
    config.wanted.note.chirp_hz = 40.0;
    config.noise.crashes_per_s = 4.0;
    config.noise.vd_db = 2.0;
    config.receiver.filter.kind = FilterKind::valve;
    config.receiver.mains.on = true;
    config.receiver.own.push_back({6.0, "QXB2"});
    config.receiver.limiter = true;
    StationConfig neighbour;
    neighbour.keep_sending = true;
    neighbour.offset_hz = 150.0;
    config.neighbours.push_back(neighbour);
    return config;
}

TEST(Scene, SameSeedSameAudio) {
    const auto a = make_scene(busy_scene(5));
    const auto b = make_scene(busy_scene(5));
    const auto c = make_scene(busy_scene(6));
    ASSERT_TRUE(a && b && c);
    EXPECT_EQ(a->samples, b->samples);
    EXPECT_EQ(to_json(a->truth), to_json(b->truth));
    EXPECT_NE(a->samples, c->samples);
}

// A seed of its own for every part: other noise leaves the keying as it was.
TEST(Scene, PartsDrawApart) {
    SceneConfig config = busy_scene(5);
    const auto a = make_scene(config);
    config.noise.crashes_per_s = 0.0;
    config.snr_2500hz_db = -10.0;
    config.neighbours.clear();
    const auto b = make_scene(config);
    ASSERT_TRUE(a && b);
    ASSERT_EQ(a->truth.wanted.marks.size(), b->truth.wanted.marks.size());
    EXPECT_EQ(a->truth.wanted.marks.back().off_s, b->truth.wanted.marks.back().off_s);
    EXPECT_EQ(a->truth.pitch_hz, b->truth.pitch_hz);
    EXPECT_EQ(a->truth.level_db, b->truth.level_db);
}

TEST(Scene, AnySplitGivesTheSame) {
    const auto whole = make_scene(busy_scene(9));
    auto stream = SceneStream::create(busy_scene(9));
    ASSERT_TRUE(whole && stream);
    std::vector<float> parts(whole->samples.size());
    std::size_t at = 0;
    for (std::size_t size = 0; at < parts.size(); size = (size * 7 + 3) % 5003) {
        at += stream->read(std::span(parts).subspan(at, std::min(size, parts.size() - at)));
    }
    EXPECT_EQ(whole->samples, parts);
    float more = 0.0F;
    EXPECT_EQ(stream->read({&more, 1}), 0U);
    EXPECT_EQ(to_json(whole->truth), to_json(stream->truth()));
}

TEST(Scene, SilenceIsSilent) {
    SceneConfig config;
    config.seconds = 2.0;
    const auto scene = make_scene(config);
    ASSERT_TRUE(scene);
    EXPECT_EQ(scene->samples.size(), 16000U);
    for (const float value : scene->samples) ASSERT_EQ(value, 0.0F);
    EXPECT_TRUE(make_scene(SceneConfig{})) << "no text, no length: only the tail";
}

// Length: to the last mark's end and the tail after it.
TEST(Scene, LengthFollowsTheText) {
    const auto scene = make_scene(one_text("PARIS", 20.0, Fist{}, std::nullopt, 1));
    ASSERT_TRUE(scene);
    EXPECT_NEAR(scene->truth.seconds, 1.0 + 43 * 0.06 + 1.0, 1e-9);
    EXPECT_EQ(scene->samples.size(),
              static_cast<std::size_t>(std::llround(scene->truth.seconds * 8000)));
    // Silent before the first mark and after the last; at level in the middle of the second mark.
    EXPECT_EQ(scene->samples[7000], 0.0F);
    const auto dash = std::span(scene->samples).subspan(8000 + 960 + 200, 1040);
    EXPECT_NEAR(2.0 * std::abs(probe::correlate(dash, 700.0, 8000.0)), 0.0316, 3e-4);
}

TEST(Scene, KeepsSendingToTheEnd) {
    SceneConfig config;
    config.seconds = 60.0;
    config.wanted.keep_sending = true;
    const auto scene = make_scene(config);
    ASSERT_TRUE(scene);
    EXPECT_LT(scene->truth.wanted.marks.back().off_s, 59.0);
    EXPECT_GT(scene->truth.wanted.marks.back().off_s, 53.0);  // a group takes 4.5 s or less
    EXPECT_EQ(scene->truth.wanted.text.size() % 6, 5U);
}

TEST(Scene, DriftThatWouldFoldIsRefused) {
    SceneConfig config;
    config.seconds = 1000.0;
    config.beat.drift_hz_per_s = 10.0;
    const auto scene = SceneStream::create(config);
    ASSERT_FALSE(scene);
    EXPECT_EQ(scene.error().message.rfind("beat.drift_hz_per_s: 10", 0), 0U);
    config.beat.drift_span_hz = 100.0;
    EXPECT_TRUE(SceneStream::create(config));
    config.beat = {};
    config.beat.drift_hz_per_s = -10.0;  // down through zero beat and up again
    EXPECT_TRUE(SceneStream::create(config));
}

// With fading the stated SNR is the mean: two-path, 30 Hz spread, 300 s hold some 10,000 fades.
TEST(Scene, SnrIsTheMeanOverFading) {
    SceneConfig config;
    config.seconds = 300.0;
    config.seed = probe::test_seed();
    config.wanted.carrier = true;
    config.wanted.channel = *channel_by_name("high-disturbed");
    const auto scene = make_scene(config);
    ASSERT_TRUE(scene);
    EXPECT_NEAR(db(probe::mean_square(scene->samples) / 0.5), config.level_dbfs, 0.25);
}

// The truth's pitch against the phase of the audio itself, over 50 ms about each track point.
TEST(Scene, PitchTrackAgainstPhase) {
    SceneConfig config;
    config.seconds = 30.0;
    config.seed = probe::test_seed();
    config.wanted.carrier = true;
    config.beat = {650.0, 2.0, 25.0, 3.0, 2.0, 60.0, {{10.05, 120.0, 0.0}}};
    const auto scene = make_scene(config);
    ASSERT_TRUE(scene);
    for (std::size_t i = 1; i + 1 < scene->truth.pitch_hz.size(); ++i) {
        const std::size_t middle = i * 800;
        if (i == 100 || i == 101) continue;  // the knock lies inside
        const double hz = scene->truth.pitch_hz[i];
        const auto x = std::span(scene->samples).subspan(middle - 200, 400);
        const auto before = probe::correlate(x.first(200), hz, 8000.0);
        const auto after = probe::correlate(x.last(200), hz, 8000.0) *
                           std::polar(1.0, -2.0 * std::numbers::pi * hz * 200.0 / 8000.0);
        const double error_hz = std::arg(after / before) / (2.0 * std::numbers::pi * 0.025);
        ASSERT_NEAR(error_hz, 0.0, 1.0) << "track point " << i;
    }
}

TEST(Scene, NeighboursAtTheirOffsetAndLevel) {
    SceneConfig config;
    config.seconds = 10.0;
    config.wanted.carrier = true;
    StationConfig neighbour;
    neighbour.carrier = true;
    neighbour.offset_hz = 100.0;
    neighbour.level_db = 2.0;
    config.neighbours.push_back(neighbour);
    // Beyond zero beat: -1000 Hz from 700 is heard at 300.
    neighbour.offset_hz = -1000.0;
    neighbour.level_db = -6.0;
    config.neighbours.push_back(neighbour);
    const auto scene = make_scene(config);
    ASSERT_TRUE(scene);
    const auto level_db = [&](double hz) {
        return 20.0 * std::log10(2.0 * std::abs(probe::correlate(scene->samples, hz, 8000.0)));
    };
    EXPECT_NEAR(level_db(700.0), -30.0, 0.01);
    EXPECT_NEAR(level_db(800.0), -28.0, 0.01);
    EXPECT_NEAR(level_db(300.0), -36.0, 0.01);
}

// The level track against the audio: slow fading, level read over 0.1 s.
TEST(Scene, LevelTrack) {
    SceneConfig config;
    config.seconds = 60.0;
    config.seed = probe::test_seed();
    config.wanted.carrier = true;
    config.wanted.channel = *channel_by_name("mid-quiet");
    const auto scene = make_scene(config);
    ASSERT_TRUE(scene);
    int compared = 0;
    for (std::size_t i = 1; i + 1 < scene->truth.level_db.size(); ++i) {
        const double track_db = scene->truth.level_db[i];
        if (track_db < -15.0) continue;  // changes fast at the bottom of a fade
        const auto x = std::span(scene->samples).subspan(i * 800 - 80, 160);
        const double heard_db =
            20.0 * std::log10(2.0 * std::abs(probe::correlate(x, 700.0, 8000.0)));
        ASSERT_NEAR(heard_db - config.level_dbfs, track_db, 0.3) << "track point " << i;
        ++compared;
    }
    EXPECT_GT(compared, 200);
}

}  // namespace
}  // namespace skedlark::synth
