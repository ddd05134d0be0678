#include "dsp/watch/stops.h"

#include <gtest/gtest.h>

#include <random>

#include "dsp/synth/scene.h"
#include "tests/support/seed.h"

namespace skedlark::watch {
namespace {

// Noise of 12 s, a keyed call of 30 s, noise again.
struct Heard {
    std::vector<float> audio;
    std::vector<dial::Motion::Rest> rests{
        {0.0, 12.0, 40.0}, {14.0, 44.0, 40.1}, {46.0, 58.0, 40.2}};
};

Heard three_stops(double snr_2500hz_db) {
    Heard heard;
    std::mt19937_64 random(support::test_seed(17));
    std::normal_distribution<float> normal(0.0F, 0.05F);
    heard.audio.resize(static_cast<std::size_t>(60 * kWorkRateHz));
    for (float& sample : heard.audio) sample = normal(random);
    auto config = synth::one_text("QVB QVB QVB DE QZK QZK K", 16.0, {}, snr_2500hz_db,
                                  support::test_seed(18));
    config.seconds = 30.0;
    config.beat.pitch_hz = 820.0;
    const auto scene = synth::make_scene(config);
    EXPECT_TRUE(scene.ok()) << scene.error().message;
    std::copy(scene->samples.begin(), scene->samples.end(),
              heard.audio.begin() + static_cast<std::ptrdiff_t>(14 * kWorkRateHz));
    return heard;
}

std::vector<StopTone> tones_of(const Heard& heard, std::size_t block) {
    auto stops = Stops::create(heard.rests, {.calls = {"QVB"}});
    EXPECT_TRUE(stops.ok());
    for (std::size_t at = 0; at < heard.audio.size(); at += block)
        stops->process(std::span(heard.audio).subspan(at, std::min(block, heard.audio.size() - at)),
                       false);
    stops->finish();
    return stops->tones();
}

TEST(Stops, AToneIsToldWithItsStopAndItsCall) {
    const auto heard = three_stops(3.0);
    const auto tones = tones_of(heard, 4000);
    ASSERT_EQ(tones.size(), 1U);
    EXPECT_EQ(tones[0].rest.div, 40.1);
    EXPECT_NEAR(tones[0].pitch_hz, 820.0, 2.0);
    EXPECT_EQ(tones[0].keyed, true);
    EXPECT_NE(tones[0].text.find("QVB"), std::string::npos) << tones[0].text;
    ASSERT_TRUE(tones[0].expected_call);
    EXPECT_GT(tones[0].expected_call->confidence, 0.9);
}

TEST(Stops, TheSameForAnySplit) {
    const auto heard = three_stops(0.0);
    const auto once = tones_of(heard, heard.audio.size());
    const auto split = tones_of(heard, 1237);
    ASSERT_EQ(once.size(), split.size());
    for (std::size_t n = 0; n < once.size(); ++n) EXPECT_EQ(once[n].text, split[n].text);
}

TEST(Stops, SettingsThatCannotBe) {
    EXPECT_FALSE(Stops::create({}, {.tones = 9}).ok());
    EXPECT_FALSE(Stops::create({}, {.calls = {"Q!"}}).ok());
    auto none = Stops::create({}, {});
    ASSERT_TRUE(none.ok());
    none->process(std::vector<float>(100, 0.0F), false);
    none->finish();
    EXPECT_TRUE(none->tones().empty());
}

}  // namespace
}  // namespace skedlark::watch
