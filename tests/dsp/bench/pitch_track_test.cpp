#include "dsp/bench/pitch_track.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

TEST(PitchTrack, FollowsADriftingTone) {
    const auto audio = test::made({.pitch_hz = 703.0, .drift_hz_per_s = 1.5, .snr_db = 10.0});
    const Baseband base = to_baseband(audio, 8000.0, {.frequency_hz = 700.0}, kTrackHalfWidthHz);
    const FrameTrack track = frame_track(base);
    ASSERT_GT(track.hz.size(), 40U);
    for (std::size_t i = 0; i < track.hz.size(); ++i)
        EXPECT_NEAR(track.hz[i], 3.0 + 1.5 * track.at_s[i], 0.15);
    const Line line = line_through(track);
    EXPECT_NEAR(line.at_middle, 3.0, 0.02);
    EXPECT_NEAR(line.slope, 1.5, 0.01);
    // The phase that follows is the integral of the pitch.
    const auto phase = following_phase(base, track);
    const double turns = (phase.back() - phase.front()) / (2.0 * std::numbers::pi);
    EXPECT_NEAR(turns, 3.0 * 10.0, 0.3);
}

TEST(PitchTrack, WrongFramesDoNotTurnTheLine) {
    FrameTrack track;
    for (int i = 0; i < 50; ++i) {
        track.at_s.push_back(0.2 * i - 5.0);
        track.hz.push_back(i % 7 == 3 ? 50.0 : 2.0 - 0.4 * track.at_s.back());
    }
    EXPECT_NEAR(line_through(track).at_middle, 2.0, 0.01);
    EXPECT_NEAR(line_through(track).slope, -0.4, 0.01);
    EXPECT_LT(without_outliers(track.hz)[10], 5.0);
    EXPECT_EQ(median({3.0, 1.0, 2.0}), 2.0);
}

}  // namespace
}  // namespace skedlark::bench
