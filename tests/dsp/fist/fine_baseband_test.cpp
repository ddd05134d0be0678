#include "dsp/fist/fine_baseband.h"

#include <numbers>

#include "tests/dsp/fist/scenes.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

std::vector<tone::BasebandFrame> steady_track(std::size_t frames, float pitch_hz) {
    std::vector<tone::BasebandFrame> track;
    for (std::size_t i = 0; i < frames; i += tone::kWorkFramesPerBaseband) {
        tone::BasebandFrame frame;
        frame.at_frame = static_cast<FrameIndex>(i);
        frame.pitch_hz = pitch_hz;
        track.push_back(frame);
    }
    return track;
}

// A tone of peak amplitude A at the pitch gives |z| = A and a phase that stands still.
TEST(FineBaseband, ToneGivesItsAmplitude) {
    std::vector<float> audio(16000);
    for (std::size_t n = 0; n < audio.size(); ++n) {
        audio[n] = 0.25F * static_cast<float>(std::cos(2.0 * std::numbers::pi * 700.0 *
                                                           static_cast<double>(n) / kWorkRateHz +
                                                       0.3));
    }
    const FineBaseband tone = bring_down(audio, steady_track(audio.size(), 700.0F));
    ASSERT_EQ(tone.size(), 2000);
    for (int k = 100; k < 1900; ++k) {
        EXPECT_NEAR(std::abs(tone.z[static_cast<std::size_t>(k)]), 0.25, 1e-3);
        EXPECT_NEAR(std::arg(tone.z[static_cast<std::size_t>(k)]), 0.3, 4e-3);
    }
}

// White noise of one-sided density d has 2 d for each hertz of complex baseband that keeps a tone's
// amplitude: the power in z is 2 d times the noise bandwidth.
TEST(FineBaseband, NoiseBandwidthIsRight) {
    synth::Random random(support::test_seed(3));
    std::vector<float> audio(400000);
    for (float& sample : audio) sample = static_cast<float>(0.1 * random.normal());
    const FineBaseband tone = bring_down(audio, steady_track(audio.size(), 700.0F));
    double power = 0.0;
    for (const auto& z : tone.z) power += static_cast<double>(std::norm(z)) / tone.size();
    const double density = 0.01 / (0.5 * kWorkRateHz);
    EXPECT_NEAR(power, 2.0 * density * fine_noise_hz(), 0.03 * power);
}

// The noise that the follower tells agrees with what is there, brought to this bandwidth.
TEST(FineBaseband, KnowsItsNoise) {
    auto config = scene_config("E", "machine", 10.0, support::test_seed(21));
    config.seconds = 30.0;
    config.wanted.transmissions[0].at_s = 29.0;
    const auto scene = made(config);
    const FineBaseband tone = brought_down(scene);
    double told = 0.0, is = 0.0;
    for (int k = 5000; k < 25000; ++k) {
        told += static_cast<double>(tone.noise_variance[static_cast<std::size_t>(k)]);
        is += static_cast<double>(std::norm(tone.z[static_cast<std::size_t>(k)]));
    }
    EXPECT_NEAR(told / is, 1.0, 0.15);
}

TEST(FineBaseband, FollowsADriftingTone) {
    auto config = scene_config(groups(10, 4), "steady", 15.0, support::test_seed(22));
    config.beat.drift_hz_per_s = 1.0;
    const auto scene = made(config);
    const FineBaseband tone = brought_down(scene);
    const auto last = static_cast<double>(tone.pitch_hz[tone.pitch_hz.size() - 2000]);
    EXPECT_NEAR(last, 700.0 + scene.truth.seconds - 2.0, 1.5);
}

TEST(FineBaseband, LostStretchesAreMarked) {
    const auto scene = made(scene_config("PARIS PARIS PARIS", "machine", 20.0, 5));
    const std::vector<LostStretch> lost = {{16000, 24000}};
    const auto track = follow_tone(scene.samples, 700.0, lost);
    ASSERT_TRUE(track);
    const FineBaseband tone = bring_down(scene.samples, *track);
    EXPECT_EQ(tone.lost[2500], 1);
    EXPECT_EQ(tone.lost[1500], 0);
    EXPECT_EQ(tone.lost[3500], 0);
}

TEST(FineBaseband, NothingInNothingOut) {
    EXPECT_EQ(bring_down({}, {}).size(), 0);
    const auto track = follow_tone({}, 700.0);
    ASSERT_TRUE(track);
    EXPECT_TRUE(track->empty());
    EXPECT_FALSE(follow_tone({}, 5.0));  // no pitch a follower takes
}

}  // namespace
}  // namespace skedlark::fist
