#include "dsp/bench/supply_lines.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_tone.h"
#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

constexpr double kRate = 8000.0;

// A rectified sine of this frequency, with noise.
std::vector<float> rectified(double hz, bool full, double rms_noise, double seconds,
                             std::uint64_t seed) {
    const auto frames = static_cast<std::size_t>(seconds * kRate);
    const auto noise = test::band_noise(frames, kRate, 1.0, 3999.0, rms_noise, seed);
    std::vector<float> out(frames);
    for (std::size_t n = 0; n < frames; ++n) {
        const double x =
            std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(n) / kRate + 0.3);
        out[n] = static_cast<float>(0.1 * (full ? std::abs(x) : std::max(x, 0.0)) + noise[n]);
    }
    return out;
}
double db(double power, double over) { return 10.0 * std::log10(power / over); }

// Fourier series of the rectified sine: at 2f 4 / (3 pi) = 0.42441 of the peak, 4f -13.98 dB, 6f -21.34
// dB and 8f -26.44 dB below it.
TEST(SupplyLines, FullWaveRippleInClosedForm) {
    for (const double hz : {49.6, 50.013, 60.4, 25.02}) {
        const auto found = find_supply(rectified(hz, true, 0.001, 20.0, 3), kRate, {});
        ASSERT_TRUE(found);
        // 25 Hz mains rectified is 50 Hz and even multiples: half the frequency cannot be known.
        const int twice = hz < 30.0 ? 1 : 2;
        EXPECT_NEAR(found->supply_hz.value * twice, 2.0 * hz, 0.002) << hz;
        const double main = found->power_of(twice);
        EXPECT_NEAR(std::sqrt(2.0 * main), 0.042441, 0.0003);
        EXPECT_NEAR(db(found->power_of(2 * twice), main), -13.98, 0.1);
        EXPECT_NEAR(db(found->power_of(3 * twice), main), -21.34, 0.15);
        EXPECT_NEAR(db(found->power_of(4 * twice), main), -26.44, 0.2);
        if (twice == 2) {
            EXPECT_EQ(found->power_of(1), 0.0);
            EXPECT_EQ(found->power_of(3), 0.0);
        }
    }
}

// Lines at f (0.5 of the peak) and 2f (0.2122).
TEST(SupplyLines, HalfWaveInClosedForm) {
    const auto found = find_supply(rectified(50.2, false, 0.001, 12.0, 4), kRate, {});
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->supply_hz.value, 50.2, 0.002);
    EXPECT_NEAR(std::sqrt(2.0 * found->power_of(1)), 0.05, 0.0003);
    EXPECT_NEAR(std::sqrt(2.0 * found->power_of(2)), 0.02122, 0.0003);
}

TEST(SupplyLines, ALoneLineAndADriftingOne) {
    for (const double drift : {0.0, 0.004}) {
        const auto audio = test::made({.seconds = 20.0,
                                       .amplitude = 0.01,
                                       .pitch_hz = 50.1,
                                       .drift_hz_per_s = drift,
                                       .snr_db = -10.0});
        const auto found = find_supply(audio, kRate, {});
        ASSERT_TRUE(found);
        ASSERT_EQ(found->lines.size(), 1U);
        EXPECT_NEAR(found->supply_hz.value, 50.1, 0.005);
        EXPECT_NEAR(db(found->power_of(1), 0.00005), 0.0, 0.2);
    }
}

TEST(SupplyLines, NoiseAndAWhistleAreNoSupply) {
    const std::uint64_t first = support::test_seed(40);
    for (std::uint64_t seed = first; seed < first + 10; ++seed) {
        const auto noise = test::band_noise(80000, kRate, 10.0, 3000.0, 0.01, seed);
        const auto found = find_supply(std::vector<float>(noise.begin(), noise.end()), kRate, {});
        ASSERT_TRUE(found);
        EXPECT_TRUE(found->lines.empty()) << seed;
        EXPECT_GT(found->least_power, 0.0);
    }
    const auto whistle = find_supply(test::made({.pitch_hz = 437.0, .snr_db = 20.0}), kRate, {});
    ASSERT_TRUE(whistle);
    EXPECT_TRUE(whistle->lines.empty());
    EXPECT_FALSE(find_supply(std::vector<float>(8000), kRate, {}));
    const auto silence = find_supply(std::vector<float>(80000), kRate, {});
    ASSERT_TRUE(silence);
    EXPECT_TRUE(silence->lines.empty());
}

}  // namespace
}  // namespace skedlark::bench
