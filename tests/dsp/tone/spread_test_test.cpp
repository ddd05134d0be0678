#include "dsp/tone/spread_test.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "dsp/core/units.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

constexpr double kPi = std::numbers::pi;

// Key closed and open in turn; at_s seconds from the start.
bool closed(double at_s) { return std::fmod(at_s, 0.18) < 0.09; }

std::vector<float> noise(double seconds, double deviation, std::mt19937_64& random) {
    std::vector<float> out(static_cast<std::size_t>(seconds * kWorkRateHz));
    if (deviation <= 0.0) {
        return out;
    }
    std::normal_distribution<double> normal(0.0, deviation);
    for (float& sample : out) {
        sample = static_cast<float>(normal(random));
    }
    return out;
}

void add_keyed(std::vector<float>& audio, double pitch_hz, double amplitude) {
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double t = static_cast<double>(n) / kWorkRateHz;
        if (closed(t)) {
            audio[n] += static_cast<float>(amplitude * std::cos(2.0 * kPi * pitch_hz * t));
        }
    }
}

bool verdict(const std::vector<float>& audio) {
    auto test = SpreadTest::create();
    EXPECT_TRUE(test.ok());
    test->process(audio, 700.0);
    return test->spread();
}

// A keyed tone alone, from weak to strong: facts of the trade (common practice, no source).
TEST(SpreadTest, AKeyedToneStandsAlone) {
    for (const double amplitude : {0.05, 0.2, 1.0}) {
        std::mt19937_64 random(support::test_seed(11));
        auto audio = noise(20.0, 0.1, random);
        add_keyed(audio, 700.0, amplitude);
        EXPECT_FALSE(verdict(audio)) << amplitude;
    }
}

TEST(SpreadTest, AStrongNeighbourAndStaticDoNotSpread) {
    std::mt19937_64 random(support::test_seed(12));
    auto audio = noise(20.0, 0.05, random);
    add_keyed(audio, 700.0, 0.3);
    std::normal_distribution<double> normal;
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double t = static_cast<double>(n) / kWorkRateHz;
        // Keyed at another pace, 800 Hz away and stronger.
        if (std::fmod(t, 0.31) < 0.14) {
            audio[n] += static_cast<float>(0.4 * std::cos(2.0 * kPi * 1500.0 * t));
        }
        // Six crashes a second of 10 ms, 20 dB over the noise.
        if (std::fmod(t, 1.0 / 6.0) < 0.010) {
            audio[n] += static_cast<float>(0.5 * normal(random));
        }
    }
    EXPECT_FALSE(verdict(audio));
}

TEST(SpreadTest, AClippedToneDoesNotSpread) {
    std::mt19937_64 random(support::test_seed(13));
    auto audio = noise(20.0, 0.01, random);
    add_keyed(audio, 700.0, 1.0);
    for (float& sample : audio) {
        sample = std::min(0.3F, std::max(-0.3F, sample));
    }
    EXPECT_FALSE(verdict(audio));
}

// A voice in the making: partials of 120 Hz that come and go together.
TEST(SpreadTest, PartialsThatComeTogetherSpread) {
    std::mt19937_64 random(support::test_seed(14));
    auto audio = noise(20.0, 0.01, random);
    for (int partial = 2; partial < 26; ++partial) {
        add_keyed(audio, 120.0 * partial, 0.3 / std::sqrt(partial));
    }
    EXPECT_TRUE(verdict(audio));
}

// An input unmuted, a gain turned up: noise and tone come together and stay.
TEST(SpreadTest, NoiseThatRisesDoesNotSpreadForLong) {
    for (const double before : {0.0, 1.0 / 32768.0, 0.01, 0.03}) {
        std::mt19937_64 random(support::test_seed(16));
        std::vector<float> audio = noise(10.0, before, random);
        auto loud = noise(20.0, 0.1, random);
        add_keyed(loud, 700.0, 0.2);
        audio.insert(audio.end(), loud.begin(), loud.end());
        auto test = SpreadTest::create();
        double spread_s = 0.0;
        for (std::size_t n = 0; n < audio.size(); n += 80) {
            test->process(std::span(audio).subspan(n, 80), 700.0);
            spread_s += test->spread() ? 0.01 : 0.0;
        }
        EXPECT_LT(spread_s, before == 0.0 ? 0.01 : 1.0) << before;
    }
}

TEST(SpreadTest, SilenceAndAConstantGiveNoVerdictAndSplitDoesNotMatter) {
    EXPECT_FALSE(verdict(std::vector<float>(80000, 0.0F)));
    EXPECT_FALSE(verdict(std::vector<float>(80000, 0.5F)));
    std::mt19937_64 random(support::test_seed(15));
    auto audio = noise(5.0, 0.01, random);
    for (int partial = 2; partial < 26; ++partial) {
        add_keyed(audio, 120.0 * partial, 0.3);
    }
    auto whole = SpreadTest::create();
    auto parts = SpreadTest::create();
    whole->process(audio, 700.0);
    for (std::size_t n = 0; n < audio.size(); n += 37) {
        parts->process(std::span(audio).subspan(n, std::min<std::size_t>(37, audio.size() - n)),
                       700.0);
    }
    EXPECT_TRUE(whole->spread());
    EXPECT_EQ(whole->spread(), parts->spread());
    whole->reset();
    EXPECT_FALSE(whole->spread());
}

}  // namespace
}  // namespace skedlark::tone
