#include "gui/bench/bench_user.h"

#include <gtest/gtest.h>

#include "tests/desk/bench/bench_sounds.h"

namespace skedlark::gui {
namespace {

using test::HubOf;
using test::made;

BenchWish take_of(double seconds) { return {.what = BenchWish::For::take, .seconds = seconds}; }

TEST(BenchUserTakes, EndToTheSampleAndAreHandedOutOnce) {
    BenchUser user;
    HubOf hub(user);
    const auto audio = made({.seconds = 6.0, .snr_db = 30.0});
    user.start(take_of(3.0));
    EXPECT_EQ(user.heard().listening, Listening::waiting) << "no sound yet";
    hub.begin();
    EXPECT_EQ(user.heard().listening, Listening::going);
    hub.hear({audio.begin(), audio.begin() + 8000});
    EXPECT_NEAR(user.heard().seconds, 1.0, 1e-9);
    EXPECT_FALSE(user.picture().empty()) << "drawn as it comes";
    EXPECT_FALSE(user.take_finished());
    hub.hear({audio.begin() + 8000, audio.end()});
    EXPECT_EQ(user.heard().listening, Listening::idle);
    const auto take = user.take_finished();
    ASSERT_TRUE(take);
    EXPECT_EQ(*take->audio, std::vector<float>(audio.begin(), audio.begin() + 24000));
    EXPECT_EQ(take->input, "card");
    EXPECT_FALSE(user.take_finished());
}

TEST(BenchUserTakes, AFileIsTakenFromItsBeginningAndEndsTheTake) {
    BenchUser user;
    HubOf hub(user);
    hub.begin(false);
    BenchWish wish = take_of(60.0);
    wish.from_file_start = true;
    user.start(wish);
    hub.hear(made({.seconds = 1.0}));
    EXPECT_EQ(user.heard().listening, Listening::waiting) << "this is the middle of the file";
    hub.end();
    hub.begin(false);
    hub.hear(made({.seconds = 4.0, .snr_db = 30.0}), false);
    hub.end();
    const auto take = user.take_finished();
    ASSERT_TRUE(take);
    EXPECT_NEAR(take->seconds, 4.0, 1e-9);
    EXPECT_FALSE(take->live);
}

TEST(BenchUserTakes, ClippedAndSilentOnesAreRefusedInWords) {
    BenchUser user;
    HubOf hub(user);
    hub.begin();
    user.start(take_of(2.0));
    auto loud = made({.seconds = 2.0, .amplitude = 1.5});
    for (float& x : loud) x = std::clamp(x, -1.0F, 1.0F);
    hub.hear(loud);
    EXPECT_FALSE(user.take_finished());
    EXPECT_NE(user.heard().problem.find("clips"), std::string::npos);
    user.start(take_of(2.0));
    EXPECT_EQ(user.heard().problem, "");
    hub.hear(std::vector<float>(16000));
    EXPECT_FALSE(user.take_finished());
    EXPECT_NE(user.heard().problem.find("silent"), std::string::npos);
    BenchWish taps = take_of(2.0);
    taps.may_clip = true;
    user.start(taps);
    hub.hear(loud);
    EXPECT_TRUE(user.take_finished()) << "single taps are looked at one by one";
}

TEST(BenchUserTakes, LostAudioIsCountedAndGivingUpKeepsNothing) {
    BenchUser user;
    HubOf hub(user);
    hub.begin();
    user.start(take_of(3.0));
    hub.hear(made({.seconds = 1.0, .snr_db = 30.0}));
    hub.hear(made({.seconds = 0.5, .snr_db = 30.0}), true);
    EXPECT_NEAR(user.heard().lost_s, 0.5, 1e-9);
    user.stop();
    const auto take = user.take_finished();
    ASSERT_TRUE(take) << "stopped early, kept: what needs more says so";
    EXPECT_NEAR(take->lost_s, 0.5, 1e-9);
    user.start(take_of(3.0));
    hub.hear(made({.seconds = 1.0, .snr_db = 30.0}));
    user.cancel();
    hub.hear(made({.seconds = 3.0, .snr_db = 30.0}));
    EXPECT_FALSE(user.take_finished());
}

TEST(BenchUserRuns, DriftGivesItsCurveAsItComes) {
    BenchUser user;
    HubOf hub(user);
    hub.begin();
    BenchWish wish;
    wish.what = BenchWish::For::drift;
    user.start(wish);
    hub.hear(made({.seconds = 40.0, .drift_hz_per_s = 0.1, .snr_db = 30.0}));
    const auto picture = user.picture();
    ASSERT_FALSE(picture.empty());
    const auto& points = picture.curves[0].points;
    EXPECT_NEAR(points.back().y - points.front().y, 0.1 * (points.back().x - points.front().x),
                0.05);
    user.mark(bench::SupplyMark{20.0, bench::Supply::low});
    user.stop();
    const auto take = user.take_finished();
    ASSERT_TRUE(take && take->drift);
    const auto drift = take->drift->finish();
    ASSERT_TRUE(drift) << drift.error().message;
    EXPECT_EQ(drift->supply.size(), 1U);
}

// 0.2 peak is -13.98 dBFS; down to 0.1 it lies 6.02 dB below what is held.
TEST(BenchUserRuns, ThePeakMeterHoldsAndLetsGo) {
    BenchUser user;
    HubOf hub(user);
    hub.begin();
    BenchWish wish;
    wish.what = BenchWish::For::peak;
    user.start(wish);
    hub.hear(made({.seconds = 3.0, .amplitude = 0.2, .snr_db = 50.0}));
    ASSERT_TRUE(user.heard().peak);
    EXPECT_NEAR(user.heard().peak->reading.held_dbfs, -13.98, 0.1);
    EXPECT_EQ(user.heard().peak->now, bench::Trend::steady);
    hub.hear(made({.seconds = 0.3, .amplitude = 0.1, .snr_db = 50.0}));
    EXPECT_EQ(user.heard().peak->now, bench::Trend::falling);
    hub.hear(made({.seconds = 3.0, .amplitude = 0.1, .snr_db = 50.0}));
    EXPECT_NEAR(user.heard().peak->reading.below_db(), 6.02, 0.1);
    EXPECT_EQ(user.heard().peak->last, bench::Trend::falling);
    user.release_peak();
    hub.hear(made({.seconds = 0.1, .amplitude = 0.1, .snr_db = 50.0}));
    EXPECT_NEAR(user.heard().peak->reading.below_db(), 0.0, 0.2);
    user.stop();
    EXPECT_FALSE(user.take_finished()) << "a meter has no result";
}

TEST(BenchUserRuns, WhatCannotBeMeteredIsSaid) {
    BenchUser user;
    HubOf hub(user);
    hub.begin();
    BenchWish wish;
    wish.what = BenchWish::For::drift;
    wish.drift = bench::DriftConfig{};
    wish.drift->within_hz = -1.0;
    user.start(wish);
    EXPECT_EQ(user.heard().listening, Listening::idle);
    EXPECT_NE(user.heard().problem.find("within_hz"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::gui
