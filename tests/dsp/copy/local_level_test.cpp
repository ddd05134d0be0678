#include "dsp/copy/local_level.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

using test::amplitude_of;

std::vector<tone::BasebandFrame> keyed(double snr_db, double seconds, std::mt19937_64& random) {
    test::Keying keying;
    while (keying.now_s() < seconds) {
        keying.send("PARIS PARIS", 20.0);
    }
    return keying.frames(snr_db, random);
}

// Standard text keeps the key down 22 of 50 units; a window holds about half a word, so
// within 3 dB.
TEST(LocalLevel, IsTheLevelOfTheKeyDown) {
    std::mt19937_64 random(support::test_seed(96));
    for (const double snr_db : {0.0, 10.0}) {
        LocalLevel local;
        int frames = 0;
        for (const auto& frame : keyed(snr_db, 20.0, random)) {
            local.push(frame);
            if (++frames > kLocalFrames && frames < 4000) {
                const double ratio = local.amplitude(amplitude_of(snr_db)) / amplitude_of(snr_db);
                ASSERT_NEAR(20.0 * std::log10(ratio), 0.0, 3.0) << frames << " at " << snr_db;
            }
        }
    }
}

// A fade of 8 dB is there once the window is past it, and gone after as long.
TEST(LocalLevel, FollowsAFadeWithinItsWindow) {
    std::mt19937_64 random(support::test_seed(97));
    LocalLevel local;
    const double usual = amplitude_of(10.0);
    const auto after = [&](double snr_db) {
        for (const auto& frame : keyed(snr_db, 0.005 * kLocalFrames, random)) {
            local.push(frame);
        }
        return 20.0 * std::log10(local.amplitude(usual) / usual);
    };
    after(10.0);
    EXPECT_NEAR(after(2.0), -8.0, 2.5);
    EXPECT_NEAR(after(10.0), 0.0, 2.5);
}

TEST(LocalLevel, StaysNearTheUsualLevelWhateverComes) {
    LocalLevel local;
    EXPECT_EQ(local.amplitude(0.3), 0.3) << "nothing heard yet";
    tone::BasebandFrame frame;
    frame.noise_variance = 1.0F;
    frame.z = {1.0F, 0.0F};
    for (int i = 0; i < 2 * kLocalFrames; ++i) {
        local.push(frame);
    }
    EXPECT_NEAR(local.amplitude(1.0), std::pow(10.0, -0.5), 1e-9) << "a pause: 10 dB down";
    frame.z = {1e3F, 0.0F};
    for (int i = 0; i < kLocalFrames; ++i) {
        local.push(frame);
    }
    EXPECT_NEAR(local.amplitude(1.0), std::pow(10.0, 0.5), 1e-9);
    frame.z = {};
    for (int i = 0; i < 2 * kLocalFrames; ++i) {
        local.push(frame);
    }
    EXPECT_EQ(local.amplitude(0.3), 0.3) << "digital silence says nothing";
    frame.z = {1e3F, 0.0F};
    frame.lost = true;
    for (int i = 0; i < 2 * kLocalFrames; ++i) {
        local.push(frame);
    }
    EXPECT_EQ(local.amplitude(0.3), 0.3) << "lost frames say nothing";
    local.reset();
    EXPECT_EQ(local.amplitude(0.5), 0.5);
}

}  // namespace
}  // namespace skedlark::copy
