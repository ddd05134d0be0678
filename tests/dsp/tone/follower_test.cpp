#include "dsp/tone/follower.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/tone/static_meter.h"
#include "tests/dsp/tone/keyed_signal.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

constexpr double kDeviation = 0.05;

std::mt19937 seeded(std::uint64_t seed) {
    return std::mt19937(static_cast<std::mt19937::result_type>(support::test_seed(seed)));
}

struct Followed {
    std::vector<BasebandFrame> frames, revised;
    std::vector<Event> events;
};

Followed follow(Follower& follower, std::span<const float> audio, std::size_t block = 400) {
    Followed got;
    for (std::size_t n = 0; n < audio.size(); n += block) {
        follower.process(audio.subspan(n, std::min(block, audio.size() - n)), got.frames,
                         &got.events);
        const auto revised = follower.revised_frames();
        got.revised.insert(got.revised.end(), revised.begin(), revised.end());
    }
    return got;
}

Follower make(const FollowerConfig& config) {
    auto follower = Follower::create(config);
    EXPECT_TRUE(follower.ok());
    return std::move(*follower);
}

// Root mean square of the pitch error of the frames from from_s on.
double error_hz(const std::vector<BasebandFrame>& frames, double from_s,
                const std::function<double(double)>& truth) {
    double squares = 0.0;
    int count = 0;
    for (const auto& frame : frames) {
        const double at_s = seconds_from_frames(frame.at_frame);
        if (at_s < from_s) continue;
        squares += std::pow(static_cast<double>(frame.pitch_hz) - truth(at_s), 2.0);
        ++count;
    }
    return std::sqrt(squares / count);
}

std::vector<float> keyed_scene(double seconds, double snr_db, double wpm, std::mt19937& random,
                               const std::function<double(double)>& pitch) {
    auto audio = test::white_noise(seconds, kDeviation, random);
    test::add_tone(audio, test::random_keying(seconds, wpm, random),
                   test::amplitude_for(snr_db, kDeviation), pitch);
    return audio;
}

TEST(Follower, SettlesOnAWeakStableTone) {
    auto random = seeded(111);
    double squares = 0.0;
    for (int trial = 0; trial < 5; ++trial) {
        const auto pitch = [](double) { return 700.3; };
        auto follower = make({.pitch_hz = trial % 2 == 0 ? 698.5 : 702.0, .pitch_error_hz = 1.5});
        const auto got = follow(follower, keyed_scene(25.0, -11.0, 20.0, random, pitch));
        squares += std::pow(error_hz(got.frames, 8.0, pitch), 2.0);
    }
    EXPECT_LT(std::sqrt(squares / 5.0), 0.3);
}

TEST(Follower, FollowsDriftAndStepsOfAStrongerTone) {
    auto random = seeded(112);
    const auto drift = [](double t) { return 700.0 + t; };
    auto follower = make({.pitch_hz = 700.0});
    auto got = follow(follower, keyed_scene(40.0, 0.0, 16.0, random, drift));
    EXPECT_LT(error_hz(got.frames, 8.0, drift), 0.5);
    EXPECT_NEAR(follower.drift_hz_per_min(), 60.0, 5.0);
    EXPECT_FALSE(got.events.empty()) << "a drift of 40 Hz should be told";

    const auto steps = [](double t) {
        const int step = static_cast<int>(t / 2.0) % 4;
        return 700.0 + 3.0 * (step == 3 ? 1 : step);
    };
    auto stepper = make({.pitch_hz = 700.0});
    got = follow(stepper, keyed_scene(30.0, 0.0, 16.0, random, steps));
    // A step of 3 Hz is caught up with in half a second of the two that it lasts.
    EXPECT_LT(error_hz(got.frames, 8.0, steps), 2.0);
}

TEST(Follower, HoldsThroughTenSecondsOfSilence) {
    auto random = seeded(113);
    auto audio = test::white_noise(40.0, kDeviation, random);
    auto key = test::random_keying(40.0, 20.0, random);
    std::fill(key.begin() + 120000, key.begin() + 200000, 0.0F);
    test::add_tone(audio, key, test::amplitude_for(-8.0, kDeviation), [](double) { return 700.0; });
    auto follower = make({.pitch_hz = 700.5});
    const auto got = follow(follower, audio);
    EXPECT_LT(error_hz(got.frames, 15.0, [](double) { return 700.0; }), 0.5);
    EXPECT_TRUE(got.events.empty());
}

TEST(Follower, IsNotCapturedByAStrongerNeighbour) {
    auto random = seeded(114);
    auto audio = keyed_scene(60.0, 2.0, 16.0, random, [](double) { return 700.0; });
    test::add_tone(audio, test::random_keying(60.0, 18.0, random),
                   test::amplitude_for(4.0, kDeviation), [](double) { return 800.0; });
    std::fill(audio.begin() + 320000, audio.begin() + 321000, 0.0F);
    auto follower = make({.pitch_hz = 700.5});
    const auto got = follow(follower, audio);
    EXPECT_LT(error_hz(got.frames, 8.0, [](double) { return 700.0; }), 0.5);
    EXPECT_TRUE(got.events.empty());
}

TEST(Follower, CatchesUpWithAKnockAndGivesTheFramesAgain) {
    auto random = seeded(115);
    const auto pitch = [](double t) { return t < 20.0 ? 700.0 : 870.0; };
    auto follower = make({.pitch_hz = 700.0});
    const auto got = follow(follower, keyed_scene(40.0, 0.0, 16.0, random, pitch));
    ASSERT_EQ(got.events.size(), 1U);
    const auto& moved = std::get<PitchMovedEvent>(got.events[0]);
    EXPECT_NEAR(moved.from_hz, 700.0, 1.0);
    EXPECT_NEAR(moved.to_hz, 870.0, 1.0);
    // 16 wpm: three characters take three seconds.
    EXPECT_NEAR(seconds_from_frames(moved.at_frame), 20.0, 0.4);
    ASSERT_FALSE(got.revised.empty());
    EXPECT_LT(std::abs(seconds_from_frames(got.revised.front().at_frame) - 20.0), 0.4);
    EXPECT_LT(seconds_from_frames(got.revised.back().at_frame), 23.0);
    // The frames given again hold the tone: its power stands well over the noise.
    double power = 0.0;
    double noise = 0.0;
    for (const auto& frame : got.revised) {
        power += static_cast<double>(std::norm(frame.z));
        noise += static_cast<double>(frame.noise_variance);
    }
    EXPECT_GT(power, 3.0 * noise);
    EXPECT_LT(error_hz(got.frames, 24.0, pitch), 0.5);
}

TEST(Follower, NoiseVarianceIsTrueInPlainNoise) {
    auto random = seeded(116);
    auto follower = make({.pitch_hz = 700.0});
    const auto got = follow(follower, test::white_noise(120.0, kDeviation, random));
    double ratio = 0.0;
    double variance = 0.0;
    double squares = 0.0;
    int count = 0;
    for (const auto& frame : got.frames) {
        if (frame.at_frame < 16000) continue;
        ratio += static_cast<double>(std::norm(frame.z) / frame.noise_variance);
        variance += static_cast<double>(frame.noise_variance);
        squares += std::pow(static_cast<double>(frame.noise_variance), 2.0);
        ++count;
    }
    // 23,600 exponential values: standard deviation of the mean 0.65 %.
    EXPECT_NEAR(ratio / count, 1.0, 0.03);
    const double mean = variance / count;
    EXPECT_LT(std::sqrt(squares / count - mean * mean) / mean, 0.12);
}

TEST(Follower, NoiseVarianceRisesInCrashesAsTheNoiseDoes) {
    auto random = seeded(117);
    auto audio = test::white_noise(200.0, kDeviation, random);
    std::vector<bool> crash(audio.size() / 40 + 10);
    for (std::size_t start = 32000; start + 300 < audio.size(); start += 1337) {  // six a second
        const std::size_t length = 16 + (start / 1337 * 37) % 145;                // 2 to 20 ms
        for (std::size_t n = start; n < start + length; ++n) audio[n] *= 10.0F;   // 20 dB
        for (std::size_t frame = start / 40; frame <= (start + length) / 40 + 1; ++frame)
            crash[frame] = true;
    }
    auto follower = make({.pitch_hz = 700.0});
    const auto got = follow(follower, audio);
    double in_crash = 0.0;
    double outside = 0.0;
    int crash_count = 0;
    int outside_count = 0;
    for (const auto& frame : got.frames) {
        if (frame.at_frame < 64000) continue;
        const auto ratio = static_cast<double>(std::norm(frame.z) / frame.noise_variance);
        const bool inside = crash[static_cast<std::size_t>(frame.at_frame / 40)];
        (inside ? in_crash : outside) += ratio;
        ++(inside ? crash_count : outside_count);
    }
    EXPECT_NEAR(in_crash / crash_count, 1.0, 0.25) << crash_count << " frames";
    EXPECT_NEAR(outside / outside_count, 1.0, 0.15);
}

TEST(Follower, FramesComeWithinFortyMillisecondsInOrderAndForAnySplit) {
    auto random = seeded(118);
    const auto audio = keyed_scene(6.0, 0.0, 20.0, random, [](double) { return 700.0; });
    auto whole = make({.pitch_hz = 700.0, .start_frame = 1000});
    const auto got = follow(whole, audio, audio.size());
    auto split = make({.pitch_hz = 700.0, .start_frame = 1000});
    std::vector<BasebandFrame> frames;
    for (std::size_t n = 0; n < audio.size(); n += 77) {
        split.process(std::span(audio).subspan(n, std::min<std::size_t>(77, audio.size() - n)),
                      frames);
        if (n > 16000) {
            ASSERT_LT(split.next_frame() - frames.back().at_frame, 320);
        }  // 40 ms
    }
    ASSERT_EQ(frames.size(), got.frames.size());
    for (std::size_t n = 0; n < frames.size(); ++n) {
        ASSERT_EQ(frames[n].z, got.frames[n].z);
        ASSERT_EQ(frames[n].noise_variance, got.frames[n].noise_variance);
        if (n > 0) {
            ASSERT_EQ(frames[n].at_frame - frames[n - 1].at_frame, kWorkFramesPerBaseband);
        }
    }
    EXPECT_EQ(frames.front().at_frame, 1000);
}

// A mark that begins at a known sample must begin there in the frames: half amplitude within a
// frame.
TEST(Follower, FramesStandAtTheirTime) {
    auto random = seeded(119);
    auto audio = test::white_noise(4.0, 1e-4, random);
    std::vector<float> key(audio.size());
    std::fill(key.begin() + 20000, key.begin() + 24000, 1.0F);
    test::add_tone(audio, key, 0.1, [](double) { return 700.0; });
    auto follower = make({.pitch_hz = 700.0});
    const auto got = follow(follower, audio);
    for (const auto& frame : got.frames) {
        if (frame.at_frame < 19900) {
            EXPECT_LT(std::abs(frame.z), 0.02F);
        }
        if (frame.at_frame > 20100 && frame.at_frame < 23900) {
            EXPECT_GT(std::abs(frame.z), 0.08F);
        }
        if (frame.at_frame > 24100) {
            EXPECT_LT(std::abs(frame.z), 0.02F);
        }
    }
}

TEST(Follower, LostAudioCarriesNoEvidence) {
    auto random = seeded(120);
    const auto audio = keyed_scene(20.0, 0.0, 20.0, random, [](double) { return 700.0; });
    auto follower = make({.pitch_hz = 700.0});
    std::vector<BasebandFrame> frames;
    const std::span<const float> all(audio);
    follower.process(all.first(80000), frames);
    follower.process(std::vector<float>(40000, 1.0F), frames, nullptr, true);
    follower.process(all.subspan(80000), frames);
    int lost = 0;
    for (const auto& frame : frames) {
        const bool inside = frame.at_frame >= 80000 && frame.at_frame < 120000;
        if (inside) {
            EXPECT_TRUE(frame.lost);
        }
        if (frame.at_frame < 79900 || frame.at_frame > 120100) {
            EXPECT_FALSE(frame.lost);
        }
        lost += frame.lost ? 1 : 0;
    }
    EXPECT_NEAR(lost, 1000, 6);
    EXPECT_NEAR(follower.pitch_hz(), 700.0, 0.5);
    EXPECT_NEAR(follower.snr_2500hz_db(), 0.0, 1.0);
}

TEST(Follower, ReadsTheLevelOfAKeyedTone) {
    for (const double snr_db : {-11.0, 0.0, 20.0}) {
        auto random = seeded(121);
        auto follower = make({.pitch_hz = 700.0});
        follow(follower, keyed_scene(40.0, snr_db, 16.0, random, [](double) { return 700.0; }));
        EXPECT_NEAR(follower.snr_2500hz_db(), snr_db, 2.0);
        const double density = 2.0 * kDeviation * kDeviation / kWorkRateHz;
        if (snr_db < 10.0) {
            EXPECT_NEAR(10.0 * std::log10(follower.noise_density() / density), 0.0, 0.7);
        }
    }
}

TEST(Follower, RestartKeepsPitchAndLevel) {
    auto random = seeded(122);
    const auto audio = keyed_scene(10.0, 0.0, 20.0, random, [](double) { return 701.0; });
    auto follower = make({.pitch_hz = 700.0});
    follow(follower, audio);
    const double snr_db = follower.snr_2500hz_db();
    follower.restart_keeping_pitch(0);
    EXPECT_EQ(follower.next_frame(), 0);
    EXPECT_NEAR(follower.pitch_hz(), 701.0, 0.3);
    EXPECT_NEAR(follower.snr_2500hz_db(), snr_db, 1e-9);
    const auto again = follow(follower, audio);
    EXPECT_EQ(again.frames.front().at_frame, 0);
    EXPECT_LT(error_hz(again.frames, 0.0, [](double) { return 701.0; }), 0.3);
}

TEST(Follower, SilenceConstantAndNanDoNoHarm) {
    for (const float value : {0.0F, 0.7F, std::nanf(""), INFINITY}) {
        auto follower = make({.pitch_hz = 700.0});
        const auto got = follow(follower, std::vector<float>(40000, value));
        for (const auto& frame : got.frames) {
            ASSERT_TRUE(std::isfinite(frame.z.real()) && std::isfinite(frame.z.imag()));
            ASSERT_TRUE(std::isfinite(frame.noise_variance) && frame.noise_variance > 0.0F);
        }
        EXPECT_TRUE(std::isfinite(follower.pitch_hz()));
        EXPECT_TRUE(got.events.empty());
    }
}

TEST(Follower, RefusesBadSettings) {
    EXPECT_FALSE(Follower::create({.pitch_hz = 49.0}).ok());
    EXPECT_FALSE(Follower::create({.pitch_hz = 3901.0}).ok());
    EXPECT_FALSE(Follower::create({.pitch_error_hz = 0.0}).ok());
    EXPECT_FALSE(Follower::create({.jump_reach_hz = -1.0}).ok());
    const auto bad = Follower::create({.pitch_hz = std::nan("")});
    ASSERT_FALSE(bad.ok());
    EXPECT_NE(bad.error().message.find("pitch_hz"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::tone
