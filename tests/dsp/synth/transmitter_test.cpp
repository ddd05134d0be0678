#include "dsp/synth/transmitter.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/synth/scene.h"
#include "tests/support/seed.h"

namespace skedlark::synth {
namespace {

std::vector<Mark> dots(int count, double dot_s) {
    std::vector<Mark> marks;
    for (int i = 0; i < count; ++i) marks.push_back({2.0 * i * dot_s, (2.0 * i + 1.0) * dot_s});
    return marks;
}

TEST(Transmitter, WithoutFaultsMarksGoOutAsKeyed) {
    const auto keyed = dots(50, 0.06);
    const auto sent = go_out(keyed, {}, 3);
    ASSERT_EQ(sent.size(), keyed.size());
    for (std::size_t i = 0; i < sent.size(); ++i) {
        EXPECT_DOUBLE_EQ(sent[i].on_s, keyed[i].on_s);
        EXPECT_DOUBLE_EQ(sent[i].off_s, keyed[i].off_s);
    }
}

// Mean and spread of the lag as set, ends untouched; and as many lost as the normal distribution
// says: P(lag > dot) for a lag of 0.8 dots that varies by a third is P(z > 0.75) = 0.2266 (tables
// of the normal distribution).
TEST(Transmitter, LagVariesAndLosesDots) {
    const auto keyed = dots(20000, 0.06);
    TransmitterConfig config;
    config.lag_s = 0.8 * 0.06;
    const auto sent = go_out(keyed, config, support::test_seed(11));
    const double lost = 1.0 - static_cast<double>(sent.size()) / static_cast<double>(keyed.size());
    EXPECT_NEAR(lost, 0.2266, 4.0 * std::sqrt(0.2266 * 0.7734 / 20000.0));

    config.lag_s = 0.02;
    const auto all = go_out(keyed, config, support::test_seed(11));
    ASSERT_EQ(all.size(), keyed.size());
    double sum = 0.0;
    double squares = 0.0;
    for (std::size_t i = 0; i < all.size(); ++i) {
        const double lag_s = all[i].on_s - keyed[i].on_s;
        sum += lag_s;
        squares += lag_s * lag_s;
        EXPECT_DOUBLE_EQ(all[i].off_s, keyed[i].off_s);
    }
    const double mean = sum / 20000.0;
    EXPECT_NEAR(mean, 0.02, 4.0 * 0.02 / 3.0 / std::sqrt(20000.0));
    EXPECT_NEAR(std::sqrt(squares / 20000.0 - mean * mean), 0.02 / 3.0, 2e-4);
}

TEST(Transmitter, ColdLagAfterARest) {
    std::vector<Mark> keyed = {{1.0, 1.2}, {1.3, 1.5}, {3.0, 3.2}};
    TransmitterConfig config;
    config.cold_lag_s = 0.05;
    const auto sent = go_out(keyed, config, 1);
    ASSERT_EQ(sent.size(), 3U);
    EXPECT_DOUBLE_EQ(sent[0].on_s, 1.05);
    EXPECT_DOUBLE_EQ(sent[1].on_s, 1.3);
    EXPECT_DOUBLE_EQ(sent[2].on_s, 3.05);
}

TEST(Transmitter, BounceCutsMarksAtTheirStart) {
    const auto keyed = dots(1000, 0.06);
    TransmitterConfig config;
    config.bounce_chance = 0.5;
    const auto sent = go_out(keyed, config, support::test_seed(5));
    const auto cut = static_cast<double>(sent.size() - keyed.size());
    EXPECT_NEAR(cut, 500.0, 4.0 * std::sqrt(250.0));
    for (std::size_t i = 0; i + 1 < sent.size(); ++i) {
        const double open_s = sent[i + 1].on_s - sent[i].off_s;
        if (open_s > 0.03) continue;
        EXPECT_GE(open_s, 0.0015 - 1e-12);
        EXPECT_LE(open_s, 0.0045 + 1e-12);
        EXPECT_LE(sent[i].off_s - sent[i].on_s, 0.006 + 1e-12);
    }
}

// The hand is the same with and without the fault; the truth tells both.
TEST(Transmitter, SceneTellsKeyAndAir) {
    SceneConfig config = one_text("PARIS PARIS", 20.0, *fist_by_name("steady"), 20.0, 4);
    const auto sound = make_scene(config);
    config.wanted.transmitter.lag_s = 0.02;
    const auto lagging = make_scene(config);
    ASSERT_TRUE(sound && lagging);
    EXPECT_EQ(sound->truth.wanted.marks, sound->truth.wanted.key_marks);
    EXPECT_EQ(lagging->truth.wanted.key_marks, sound->truth.wanted.marks);
    EXPECT_NE(lagging->truth.wanted.marks, lagging->truth.wanted.key_marks);
    EXPECT_NE(to_json(lagging->truth).find("key_marks_on_off_s"), std::string::npos);
    EXPECT_EQ(to_json(sound->truth).find("key_marks_on_off_s"), std::string::npos);
    config.wanted.transmitter.lag_s = 2.0;
    const auto refused = make_scene(config);
    ASSERT_FALSE(refused);
    EXPECT_NE(refused.error().message.find("wanted.transmitter.lag_s"), std::string::npos);
}

TEST(Transmitter, NothingKeyedNothingOut) { EXPECT_TRUE(go_out({}, {}, 1).empty()); }

}  // namespace
}  // namespace skedlark::synth
