#include "dsp/dial/zero_in.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::dial {
namespace {

// A station, a dial and a hand that does as advised, not quite, and late.
struct Hand {
    double khz_per_div = 30.0;
    double station_khz = 0.0;
    double dial_div = 0.0;
    double rate_div_per_s = 0.01;

    [[nodiscard]] double offset_hz() const {  // of the station above the dial's frequency
        return 1000.0 * (station_khz - khz_per_div * dial_div);
    }
};

// Seconds until the pitch has been right, on the right side, for 3 s; empty after two minutes.
std::optional<double> led(const ZeroInConfig& config, Hand hand, std::uint64_t seed) {
    auto zero_in = *ZeroIn::create(config);
    std::mt19937_64 random(seed);
    std::normal_distribution<double> noise(0.0, 3.0);
    std::optional<ZeroInAdvice> seen;  // half a second ago
    std::vector<std::optional<ZeroInAdvice>> late(2);
    double right_since = -1.0;
    for (double at_s = 0.0; at_s < 120.0; at_s += 0.25) {
        const double offset = hand.offset_hz();
        // Too near zero beat nothing is heard.
        if (std::abs(offset) > 200.0) zero_in.heard(at_s, std::abs(offset) + noise(random), 3.0);
        late.push_back(zero_in.advice());
        seen = late[late.size() - 3];
        if (seen && seen->turn != Turn::here) {
            const double step = 0.25 * std::min(hand.rate_div_per_s, seen->turn_div);
            hand.dial_div += seen->turn == Turn::up ? step : -step;
        }
        const double wanted =
            config.listen == ListenSide::above ? config.pitch_hz : -config.pitch_hz;
        if (std::abs(hand.offset_hz() - wanted) > 1.5 * config.tolerance_hz) {
            right_since = -1.0;
        } else if (right_since < 0.0) {
            right_since = at_s;
        } else if (at_s - right_since >= 3.0) {
            return at_s;
        }
    }
    return std::nullopt;
}

TEST(ZeroIn, LeadsTheHandFromEitherSide) {
    // Both sides of zero beat, both ways a scale may run, both sides to listen on.
    int tried = 0;
    int slow = 0;
    for (const double start_hz : {-2500.0, -1200.0, -700.0, -400.0, 400.0, 900.0, 1500.0, 2800.0}) {
        for (const double khz_per_div : {30.0, -30.0, 8.0}) {
            for (const ListenSide listen : {ListenSide::above, ListenSide::below}) {
                const ZeroInConfig config{700.0, khz_per_div, 40.0, listen};
                Hand hand{khz_per_div, start_hz / 1000.0, 0.0, 0.3 / std::abs(khz_per_div)};
                const auto took = led(config, hand, support::test_seed(3));
                ++tried;
                // On the other side at the right pitch there is nothing to tell it by.
                const bool hidden = std::abs(std::abs(start_hz) - 700.0) < 40.0;
                if (!took && hidden) continue;
                ASSERT_TRUE(took) << start_hz << " Hz, " << khz_per_div << " kHz a division";
                slow += *took > 30.0 ? 1 : 0;
            }
        }
    }
    EXPECT_EQ(tried, 48);
    EXPECT_LE(slow, 4);
}

TEST(ZeroIn, SaysHowFar) {
    auto zero_in = *ZeroIn::create({700.0, 30.0, 40.0, ListenSide::above});
    EXPECT_FALSE(zero_in.advice());
    zero_in.heard(0.0, 1000.0, 2.0);
    auto advice = zero_in.advice();
    ASSERT_TRUE(advice);
    EXPECT_FALSE(advice->sure);
    EXPECT_DOUBLE_EQ(advice->off_hz, 300.0);
    EXPECT_NEAR(advice->turn_div, 0.01, 1e-12);  // 300 Hz of 30 kHz
    EXPECT_EQ(advice->turn, Turn::up);
    // It rises though the hand was told up: the station lies below, and zero beat between.
    for (int n = 1; n <= 3; ++n) zero_in.heard(0.5 * n, 1000.0 + 100.0 * n, 2.0);
    advice = zero_in.advice();
    EXPECT_TRUE(advice->sure);
    EXPECT_TRUE(advice->cross);
    EXPECT_EQ(advice->turn, Turn::down);
    EXPECT_NEAR(advice->turn_div, 2000.0 / 30000.0, 1e-12);
    zero_in.lost();
    EXPECT_FALSE(zero_in.advice());
}

TEST(ZeroIn, ASlowDriftSaysNothingOfTheSide) {
    auto zero_in = *ZeroIn::create({700.0, 30.0, 40.0, ListenSide::above});
    for (int n = 0; n < 400; ++n) zero_in.heard(0.5 * n, 900.0 + 0.5 * n, 2.0);  // 1 Hz/s
    EXPECT_FALSE(zero_in.advice()->sure);
}

TEST(ZeroIn, SettingsThatCannotBe) {
    EXPECT_FALSE(ZeroIn::create({.pitch_hz = 20.0}).ok());
    EXPECT_FALSE(ZeroIn::create({.khz_per_div = 0.0}).ok());
    EXPECT_FALSE(ZeroIn::create({.tolerance_hz = std::nan("")}).ok());
    auto zero_in = *ZeroIn::create({});
    zero_in.heard(0.0, std::nan(""), 1.0);
    EXPECT_FALSE(zero_in.advice());
}

}  // namespace
}  // namespace skedlark::dial
