#include "dsp/spectrum/noise_floor.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "dsp/spectrum/stft.h"
#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::spectrum {
namespace {

constexpr int kSize = 512;
constexpr double kSeconds = 60.0;

struct Scene {
    std::vector<float> audio;
    std::mt19937_64 random;
    explicit Scene(std::uint64_t seed) : random(support::test_seed(seed)) {
        std::normal_distribution<float> normal;
        audio.resize(static_cast<std::size_t>(kSeconds * kWorkRateHz));
        for (float& sample : audio) sample = normal(random);
    }
};

// Mean over time of the floor at each update once the history is full.
std::vector<double> floor_of(const std::vector<float>& audio) {
    auto stft = Stft::create({.size = kSize, .hop = kSize / 2});
    auto floor = NoiseFloor::create({.bins = kSize / 2 + 1});
    EXPECT_TRUE(stft.ok() && floor.ok());
    std::vector<double> mean(kSize / 2 + 1);
    int updates = 0;
    int rows = 0;
    stft->process(audio, [&](std::span<const float> row) {
        if (!floor->add(row) || ++rows < 9) return;
        ++updates;
        for (std::size_t bin = 0; bin < mean.size(); ++bin)
            mean[bin] += static_cast<double>(floor->density()[bin]);
    });
    for (double& value : mean) value /= updates;
    return mean;
}

double db(double ratio) { return 10.0 * std::log10(ratio); }

// Means over 60 s have a standard deviation near 0.05 dB a bin; the claim is 0.3 dB of bias.
TEST(NoiseFloor, IsUnbiasedInWhiteNoise) {
    const Scene scene(31);
    const auto floor = floor_of(scene.audio);
    double sum = 0.0;
    for (std::size_t bin = 10; bin < 246; ++bin) {
        EXPECT_NEAR(db(floor[bin] / (2.0 / kWorkRateHz)), 0.0, 0.3) << "bin " << bin;
        sum += db(floor[bin] / (2.0 / kWorkRateHz));
    }
    EXPECT_NEAR(sum / 236.0, 0.0, 0.15);
}

// First-order low-pass y = a y + x: density 2 / fs / |1 - a e^(-jw)|^2, here 6 dB an octave from
// 300 Hz.
TEST(NoiseFloor, IsUnbiasedInColouredNoise) {
    Scene scene(32);
    const double a = std::exp(-2.0 * std::numbers::pi * 300.0 / kWorkRateHz);
    double state = 0.0;
    for (float& sample : scene.audio) {
        state = a * state + static_cast<double>(sample);
        sample = static_cast<float>(state);
    }
    const auto floor = floor_of(scene.audio);
    for (std::size_t bin = 26; bin < 230; ++bin) {  // 400 to 3600 Hz
        const double hz = static_cast<double>(bin) * kWorkRateHz / kSize;
        const auto back = std::polar(a, -2.0 * std::numbers::pi * hz / kWorkRateHz);
        const double wanted = 2.0 / kWorkRateHz / std::norm(1.0 - back);
        EXPECT_NEAR(db(floor[bin] / wanted), 0.0, 0.3) << hz << " Hz";
    }
}

TEST(NoiseFloor, TenStrongTonesMoveItByLessThanHalfADecibel) {
    Scene scene(33);
    const auto before = floor_of(scene.audio);
    for (int tone = 0; tone < 10; ++tone) {
        const double turn = 2.0 * std::numbers::pi * (350.0 + 267.0 * tone) / kWorkRateHz;
        for (std::size_t n = 0; n < scene.audio.size(); ++n)  // 20 dB over the noise in 2500 Hz
            scene.audio[n] += static_cast<float>(11.2 * std::cos(turn * static_cast<double>(n)));
    }
    const auto after = floor_of(scene.audio);
    for (std::size_t bin = 10; bin < 246; ++bin)
        EXPECT_NEAR(db(after[bin] / before[bin]), 0.0, 0.5) << "bin " << bin;
}

TEST(NoiseFloor, StaticATenthOfTheTimeMovesItByLessThanHalfADecibel) {
    Scene scene(34);
    const auto before = floor_of(scene.audio);
    // Crashes of 20 ms, 20 dB, each 200 ms on the mean.
    std::exponential_distribution<double> wait(1.0 / 0.18);
    double at_s = wait(scene.random);
    while (at_s + 0.02 < kSeconds) {
        const auto from = static_cast<std::size_t>(at_s * kWorkRateHz);
        for (std::size_t n = from; n < from + 160; ++n) scene.audio[n] *= 10.0F;
        at_s += 0.02 + wait(scene.random);
    }
    const auto after = floor_of(scene.audio);
    for (std::size_t bin = 10; bin < 246; ++bin)
        EXPECT_NEAR(db(after[bin] / before[bin]), 0.0, 0.5) << "bin " << bin;
}

// A tone 60 Hz from the edge of a filter that takes 40 dB off beyond it.
TEST(NoiseFloor, BesideAToneNearAFilterEdgeReadsTheToneSide) {
    auto floor = NoiseFloor::create({.bins = kSize / 2 + 1});
    ASSERT_TRUE(floor.ok());
    std::mt19937_64 random(support::test_seed(35));
    std::exponential_distribution<double> exponential;
    std::vector<float> row(kSize / 2 + 1);
    for (int n = 0; n < 400; ++n) {
        for (std::size_t bin = 0; bin < row.size(); ++bin)
            row[bin] = static_cast<float>(exponential(random) * (bin < 50 ? 1.0 : 1e-4));
        for (std::size_t bin = 45; bin <= 47; ++bin)
            row[bin] += n % 9 < 4 ? 100.0F : 0.0F;  // keyed
        floor->add(row);
    }
    EXPECT_NEAR(db(floor->beside(46.0, 3, 12)), 0.0, 4.0);  // the middle of both sides would be -20
    EXPECT_NEAR(db(floor->beside(30.0, 3, 12)), 0.0, 1.0);
}

TEST(NoiseFloor, SilenceConstantAndNanRows) {
    auto floor = NoiseFloor::create({.bins = 16, .history_rows = 8});
    ASSERT_TRUE(floor.ok());
    std::vector<float> row(16);
    for (int n = 0; n < 20; ++n) floor->add(row);
    EXPECT_EQ(floor->density()[5], 0.0F);
    floor->reset();
    EXPECT_FALSE(floor->ready());
    row.assign(16, std::nanf(""));
    for (int n = 0; n < 20; ++n) EXPECT_FALSE(floor->add(row));
    EXPECT_FALSE(floor->ready());
    row.assign(16, 3.0F);
    for (int n = 0; n < 20; ++n) floor->add(row);
    EXPECT_TRUE(std::isfinite(floor->density()[5]));
    EXPECT_GT(floor->density()[5], 0.0F);
}

TEST(NoiseFloor, AddDoesNotAllocate) {
    auto floor = NoiseFloor::create({.bins = 64, .history_rows = 32, .update_every_rows = 4});
    ASSERT_TRUE(floor.ok());
    const std::vector<float> row(64, 1.0F);
    const support::AllocationCount count;
    for (int n = 0; n < 100; ++n) floor->add(row);
    EXPECT_EQ(count.made(), 0);
}

TEST(NoiseFloor, RefusesBadSettings) {
    EXPECT_FALSE(NoiseFloor::create({.bins = 7}).ok());
    EXPECT_FALSE(NoiseFloor::create({.history_rows = 7}).ok());
    EXPECT_FALSE(NoiseFloor::create({.neighbour_bins = 0}).ok());
    EXPECT_FALSE(NoiseFloor::create({.update_every_rows = 0}).ok());
}

}  // namespace
}  // namespace skedlark::spectrum
