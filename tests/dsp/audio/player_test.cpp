// Played through a virtual sound card; runs inside `virtual-audio.sh run -- audio_live_test`.
#include "dsp/audio/player.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <numbers>

#include "dsp/core/units.h"

namespace skedlark::audio {
namespace {

using std::chrono::steady_clock;

double seconds_since(steady_clock::time_point start) {
    return std::chrono::duration<double>(steady_clock::now() - start).count();
}

TEST(Player, PlaysInItsOwnTimeToTheEnd) {
    auto output = LiveOutput::create({.device = "vcable_sink", .limit_dbfs = -20.0});
    ASSERT_TRUE(output.ok());
    std::size_t left = 12000;  // 1.5 s
    std::size_t asked = 0;
    Player player(**output, [&](std::span<float> piece) {
        const std::size_t count = std::min(left, piece.size());
        for (std::size_t i = 0; i < count; ++i) piece[i] = 0.01F;
        left -= count;
        ++asked;
        return count;
    });
    while (!(*output)->is_playing()) std::this_thread::sleep_for(std::chrono::milliseconds(5));
    const auto start = steady_clock::now();
    while (!player.is_done() && seconds_since(start) < 20.0)
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    EXPECT_TRUE(player.is_done());
    EXPECT_NEAR(player.made_s(), 1.5, 1e-9);
    // Not all at once: what is ahead and what the sound system holds are the slack.
    EXPECT_GT(seconds_since(start), 1.5 - Player::kAheadS - 0.3);
    EXPECT_LT(seconds_since(start), 3.5);
    EXPECT_GE(asked, 75U);
}

TEST(Player, StopsAtOnceWhenTold) {
    auto output = LiveOutput::create({.device = "vcable_sink"});
    ASSERT_TRUE(output.ok());
    Player player(**output, [](std::span<float> piece) {
        std::fill(piece.begin(), piece.end(), 0.0F);
        return piece.size();
    });
    const auto start = steady_clock::now();
    player.stop();
    EXPECT_LT(seconds_since(start), 0.5);
}

}  // namespace
}  // namespace skedlark::audio
