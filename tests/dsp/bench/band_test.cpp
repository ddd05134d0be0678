#include "dsp/bench/band.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_tone.h"
#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

double power(std::span<const float> audio, std::size_t from, std::size_t to) {
    double sum = 0.0;
    for (std::size_t n = from; n < to; ++n)
        sum += static_cast<double>(audio[n]) * static_cast<double>(audio[n]);
    return sum / static_cast<double>(to - from);
}

TEST(Band, KeepsWhatIsInsideAndNothingElse) {
    const std::vector<float> inside = test::made({.amplitude = 0.3, .pitch_hz = 700.0});
    const auto kept = cut_to_band(inside, 8000.0, {300.0, 2700.0});
    ASSERT_TRUE(kept);
    for (std::size_t n = kept->from; n < kept->to; n += 101)
        EXPECT_NEAR(kept->audio[n], inside[n], 2e-4);
    const auto gone = cut_to_band(test::made({.pitch_hz = 2900.0}), 8000.0, {300.0, 2700.0});
    ASSERT_TRUE(gone);
    // 0.045 is the tone's power: 100 dB down.
    EXPECT_LT(power(gone->audio, gone->from, gone->to), 0.045e-9);
}

// White noise of variance v has 2 v / f a hertz.
TEST(Band, NoiseByItsWidth) {
    std::mt19937_64 random(support::test_seed(3));
    std::normal_distribution<float> normal(0.0F, 0.1F);
    std::vector<float> audio(160000);
    for (float& x : audio) x = normal(random);
    const auto kept = cut_to_band(audio, 8000.0, {500.0, 1500.0});
    ASSERT_TRUE(kept);
    // 20 s of 1 kHz: spread 0.7 %, here four times that.
    EXPECT_NEAR(power(kept->audio, kept->from, kept->to), 0.01 * 1000.0 / 4000.0, 0.03 * 0.0025);
    const auto spectrum = periodogram(audio, 8000.0);
    ASSERT_TRUE(spectrum);
    EXPECT_NEAR(spectrum->noise_density(500.0, 1500.0), 0.02 / 8000.0, 0.03 * 0.02 / 8000.0);
    const auto mean = mean_periodogram(audio, 8000.0, 0.5);
    ASSERT_TRUE(mean);
    double sum = 0.0;
    for (const double d : mean->density) sum += d * mean->bin_hz;
    EXPECT_NEAR(sum, 0.01, 0.0002);
}

TEST(Band, LinesDoNotCountAsNoise) {
    const auto spectrum =
        periodogram(test::made({.amplitude = 0.3, .snr_db = 20.0, .seed = 5}), 8000.0);
    ASSERT_TRUE(spectrum);
    const double density = 0.5 * 0.09 * 0.01 / 2400.0;
    EXPECT_NEAR(spectrum->noise_density(500.0, 900.0), density, 0.08 * density);
}

TEST(Band, TooShortOrTooLongIsRefused) {
    EXPECT_FALSE(cut_to_band(std::vector<float>(10), 8000.0, {}));
    EXPECT_FALSE(periodogram({}, 8000.0));
    EXPECT_FALSE(mean_periodogram(std::vector<float>(kMostFrames + 1), 8000.0, 0.5));
}

}  // namespace
}  // namespace skedlark::bench
