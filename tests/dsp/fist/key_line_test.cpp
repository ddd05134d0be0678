#include "dsp/fist/key_line.h"

#include <cmath>

#include "tests/dsp/fist/scenes.h"

namespace skedlark::fist {
namespace {

// A line at `up`, at `down` while the key is closed, or a tone of 800 Hz.
std::vector<float> line(const std::vector<synth::Mark>& marks, double seconds, float up, float down,
                        bool tone = false) {
    std::vector<float> out(static_cast<std::size_t>(seconds * 8000.0), up);
    for (const auto& mark : marks) {
        for (auto n = static_cast<std::size_t>(mark.on_s * 8000.0);
             n < static_cast<std::size_t>(mark.off_s * 8000.0) && n < out.size(); ++n) {
            out[n] =
                tone
                    ? down * static_cast<float>(std::sin(2.0 * M_PI * 0.1 * static_cast<double>(n)))
                    : down;
        }
    }
    return out;
}

TEST(KeyLine, MarksOfLinesAndSidetones) {
    const auto scene = made(scene_config(groups(4, 1), "steady", 20.0, 1));
    const auto& truth = scene.truth.wanted.key_marks;
    const double seconds = scene.truth.seconds;
    for (const auto& audio :
         {line(truth, seconds, 0.0F, 0.5F), line(truth, seconds, 0.6F, -0.1F),
          line(truth, seconds, 0.2F, 0.25F), line(truth, seconds, 0.0F, 0.3F, true),
          line(truth, seconds, 0.0F, 0.01F, true)}) {
        const auto marks = key_marks(audio);
        ASSERT_TRUE(marks) << marks.error().message;
        ASSERT_EQ(marks->size(), truth.size());
        for (std::size_t i = 0; i < truth.size(); ++i) {
            EXPECT_NEAR((*marks)[i].on_s, truth[i].on_s, 0.0006) << i;
            EXPECT_NEAR((*marks)[i].off_s, truth[i].off_s, 0.0006) << i;
        }
    }
}

// A transmitter 20 ms late, a third more or less: what was keyed against what arrived.
TEST(KeyLine, WhatTheTransmitterMakesOfIt) {
    auto config = scene_config(groups(25, 2), "steady", 15.0, 2, 20.0);
    config.wanted.transmitter.lag_s = 0.040;
    const auto scene = made(config);
    const auto& keyed = scene.truth.wanted.key_marks;
    const auto key = key_marks(line(keyed, scene.truth.seconds, 0.0F, 0.5F));
    ASSERT_TRUE(key);
    const KeyComparison c = compare_key(*key, measured(scene));
    // The truth: from the marks as they went out.
    double sum = 0.0;
    int lost = 0;
    int stumps = 0;  // too short to be told from noise
    std::size_t at = 0;
    for (const auto& mark : keyed) {
        const auto& sent = scene.truth.wanted.marks;
        if (at < sent.size() && std::abs(sent[at].off_s - mark.off_s) < 1e-9) {
            if (sent[at].off_s - sent[at].on_s < 0.015) {
                ++stumps;
            } else {
                sum += sent[at].on_s - mark.on_s;
            }
            ++at;
        } else {
            ++lost;
        }
    }
    EXPECT_GT(lost, 3);
    EXPECT_EQ(c.marks, static_cast<int>(keyed.size()));
    EXPECT_GE(c.dots_lost, lost);
    EXPECT_LE(c.dots_lost, lost + stumps);
    EXPECT_EQ(c.dashes_lost, 0);
    EXPECT_EQ(c.lost_at_s.size(), static_cast<std::size_t>(c.dots_lost));
    const double true_late_s = sum / (static_cast<double>(at) - stumps);
    EXPECT_NEAR(c.shortened.mean_s, true_late_s, 0.002);
    EXPECT_NEAR(c.fall.mean_s, 0.0, 0.001);
    EXPECT_LT(c.fall.sd_s, 0.002);
    EXPECT_GT(c.rise.sd_s, 0.006);
}

TEST(KeyLine, ASilentChannelIsSaid) {
    for (const auto& audio :
         {std::vector<float>{}, std::vector<float>(80000, 0.0F), std::vector<float>(80000, 0.4F)}) {
        const auto marks = key_marks(audio);
        ASSERT_FALSE(marks);
        EXPECT_NE(marks.error().message.find("key channel"), std::string::npos);
    }
    synth::Random random(3);
    std::vector<float> noise(80000);
    for (float& sample : noise) sample = static_cast<float>(0.1 * random.normal());
    EXPECT_FALSE(key_marks(noise));
    EXPECT_EQ(compare_key({}, {}).marks, 0);
    // Keyed, and nothing arrived.
    const std::vector<KeyMark> key{{1.0, 1.06}, {1.12, 1.3}};
    EXPECT_EQ(compare_key(key, {}).lost_at_s.size(), 2U);
}

}  // namespace
}  // namespace skedlark::fist
