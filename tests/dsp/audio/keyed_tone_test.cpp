// The keyed tone as a sound card asks for it: evenly, in bursts, late.
#include "dsp/audio/keyed_tone.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "dsp/core/units.h"

namespace skedlark::audio {
namespace {

constexpr double kRateHz = 48000.0;

struct Press {
    double at_s;
    bool down;
};

// Plays a card: `asked_at` gives the clock at which block n is asked for. Edges reach the tone before
// the first block asked for after them.
template <typename AskedAt>
std::vector<float> played(KeyedTone& tone, const std::vector<Press>& presses, double seconds,
                          std::size_t block, AskedAt asked_at) {
    std::vector<float> all;
    std::size_t next = 0;
    for (std::size_t n = 0; static_cast<double>(n * block) < seconds * kRateHz; ++n) {
        const double now_s = asked_at(n);
        while (next < presses.size() && presses[next].at_s <= now_s) {
            tone.key(presses[next].down, presses[next].at_s);
            ++next;
        }
        std::vector<float> part(block, 0.0F);
        tone.add(part, kRateHz, now_s);
        all.insert(all.end(), part.begin(), part.end());
    }
    return all;
}

// Where the amplitude passes half of `full`, by the larger of two neighbouring quarter waves.
std::vector<double> half_crossings_s(const std::vector<float>& audio, double pitch_hz,
                                     double full) {
    const auto reach = static_cast<std::size_t>(kRateHz / pitch_hz / 4.0);
    std::vector<double> out;
    bool loud = false;
    for (std::size_t i = 0; i + reach < audio.size(); ++i) {
        // A sine and itself a quarter wave later: its amplitude, whatever its phase.
        const double amplitude =
            std::hypot(static_cast<double>(audio[i]), static_cast<double>(audio[i + reach]));
        if ((amplitude > 0.5 * full) == loud) continue;
        loud = !loud;
        out.push_back((static_cast<double>(i) + 0.5 * static_cast<double>(reach)) / kRateHz);
    }
    return out;
}

const std::vector<Press> kDotAndDash{{2.0, true}, {2.06, false}, {2.12, true}, {2.3, false}};

TEST(KeyedTone, LengthsComeOutAsKeyedAndTheDelayIsTheOneTold) {
    constexpr std::size_t kBlock = 240;
    const auto even = [](std::size_t n) { return static_cast<double>(n * kBlock) / kRateHz; };
    // Four blocks at once, every 20 ms: what a sound server does.
    const auto bursts = [](std::size_t n) {
        return static_cast<double>((n / 4) * 4 * kBlock) / kRateHz;
    };
    // Each up to 3 ms late, by a fixed row.
    const auto late = [](std::size_t n) {
        return static_cast<double>(n * kBlock) / kRateHz + 0.001 * static_cast<double>((n * 7) % 4);
    };
    const auto check = [&](auto asked_at, double longest_wait_s) {
        const auto tone = *KeyedTone::create({.pitch_hz = 1000.0, .level_dbfs = -20.0});
        const auto audio = played(*tone, kDotAndDash, 3.0, kBlock, asked_at);
        const auto at = half_crossings_s(audio, 1000.0, 0.1);
        ASSERT_EQ(at.size(), 4U);
        EXPECT_LT(tone->wait_s(), longest_wait_s);
        // The stream against the clock is known to some tenths of a millisecond.
        EXPECT_NEAR(at[1] - at[0], 0.06, 0.0008);
        EXPECT_NEAR(at[2] - at[1], 0.06, 0.0008);
        EXPECT_NEAR(at[3] - at[2], 0.18, 0.0008);
        // Half the edge after the wait that is told; the stream begins where the clock does, but for
        // half a burst.
        EXPECT_NEAR(at[0] - 2.0, tone->wait_s() + 0.0025, 0.5 * longest_wait_s);
    };
    check(even, 0.010);
    check(bursts, 0.035);
    check(late, 0.015);
}

TEST(KeyedTone, TheEdgeIsARaisedCosine) {
    const auto tone = *KeyedTone::create({.pitch_hz = 2000.0, .level_dbfs = 0.0, .edge_s = 0.02});
    const auto even = [](std::size_t n) { return static_cast<double>(n) * 0.01; };
    const auto audio = played(*tone, {{1.0, true}}, 1.2, 480, even);
    std::size_t first = 0;
    while (audio[first] == 0.0F) ++first;
    // Definition: (1 - cos(pi t / T)) / 2 about each crest of the wave, 24 frames apart.
    for (std::size_t i = 0; i < 960; i += 24) {
        double crest = 0.0;
        double expected = 0.0;
        for (std::size_t k = 0; k < 24; ++k) {
            const double share = static_cast<double>(i + k + 1) / 960.0;
            const double envelope = 0.5 - 0.5 * std::cos(std::numbers::pi * share);
            const double wave = std::sin(2.0 * std::numbers::pi * 2000.0 *
                                         static_cast<double>(i + k + 1) / kRateHz);
            crest = std::max(crest, std::abs(static_cast<double>(audio[first + i + k])));
            expected = std::max(expected, std::abs(envelope * wave));
        }
        EXPECT_NEAR(crest, expected, 1e-4) << i;
    }
}

TEST(KeyedTone, NeverBeyondItsCeilingAndChangesLevelWithoutAJump) {
    const auto tone = *KeyedTone::create({.level_dbfs = 0.0, .ceiling_dbfs = -30.0});
    const auto even = [](std::size_t n) { return static_cast<double>(n) * 0.005; };
    const auto loud = played(*tone, {{0.5, true}}, 1.0, 240, even);
    const double ceiling = amplitude_from_db(-30.0);
    double peak = 0.0;
    for (const float sample : loud) peak = std::max(peak, std::abs(static_cast<double>(sample)));
    EXPECT_LE(peak, ceiling * 1.000001);
    EXPECT_GT(peak, 0.99 * ceiling);
    tone->set_level(-60.0);
    std::vector<float> part(240, 0.0F);
    tone->add(part, kRateHz, 1.0);
    // From sample to sample no more than the wave's own slope and the level's: 600 Hz, 240 frames.
    for (std::size_t i = 1; i < part.size(); ++i) {
        const double step = std::abs(static_cast<double>(part[i] - part[i - 1]));
        EXPECT_LT(step, ceiling * (2.0 * std::numbers::pi * 600.0 / kRateHz + 1.0 / 240.0) * 1.01);
    }
}

TEST(KeyedTone, SilentWithoutAKeyAndAfterIt) {
    const auto tone = *KeyedTone::create({});
    const auto even = [](std::size_t n) { return static_cast<double>(n) * 0.005; };
    const auto audio = played(*tone, {{0.5, true}, {0.6, false}}, 1.0, 240, even);
    EXPECT_EQ(audio[static_cast<std::size_t>(0.45 * kRateHz)], 0.0F);
    for (std::size_t i = static_cast<std::size_t>(0.7 * kRateHz); i < audio.size(); ++i)
        ASSERT_EQ(audio[i], 0.0F);
}

TEST(KeyedTone, SettingsOutOfRangeAreRefusedByName) {
    const auto said = [](const KeyedToneConfig& config) {
        const auto tone = KeyedTone::create(config);
        return tone ? std::string() : tone.error().message;
    };
    EXPECT_NE(said({.pitch_hz = 100.0}).find("200 to 2000 Hz"), std::string::npos);
    EXPECT_NE(said({.level_dbfs = 3.0}).find("level of the sidetone: 3"), std::string::npos);
    EXPECT_NE(said({.ceiling_dbfs = std::nan("")}).find("-80 to 0"), std::string::npos);
    EXPECT_NE(said({.edge_s = 0.1}).find("0.001 to 0.02 s"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::audio
