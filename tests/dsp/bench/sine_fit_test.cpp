#include "dsp/bench/sine_fit.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_tone.h"
#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

using test::made;
using test::TestTone;

// Exact: a sine without noise is given back, offset included.
TEST(SineFit, ExactWithoutNoise) {
    std::vector<float> audio = made({.amplitude = 0.25, .pitch_hz = 431.7, .phase_rad = -1.1});
    for (float& x : audio) x += 0.05F;
    const auto fit = fit_sine_3(audio, 8000.0, 431.7);
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->amplitude, 0.25, 1e-6);
    EXPECT_NEAR(fit->phase_rad, -1.1, 1e-6);
    EXPECT_NEAR(fit->offset, 0.05, 1e-6);
    EXPECT_LT(fit->residual_rms, 1e-6);
}

TEST(SineFit, FourAndFiveParametersConverge) {
    const auto steady = fit_sine_4(made({.pitch_hz = 700.3}), 8000.0, 700.26);
    ASSERT_TRUE(steady);
    EXPECT_NEAR(steady->frequency_hz, 700.3, 1e-7);
    const auto moving =
        fit_sine_5(made({.pitch_hz = 700.3, .drift_hz_per_s = 0.2}), 8000.0, 700.28, 0.195);
    ASSERT_TRUE(moving);
    EXPECT_NEAR(moving->frequency_hz, 700.3, 1e-7);
    EXPECT_NEAR(moving->drift_hz_per_s, 0.2, 1e-7);
    EXPECT_NEAR(phase_at(*moving, 0.0), 0.4, 1e-5);
}

// Rounding to 8 bits leaves a step's twelfth as variance (IEEE 1057: ideal converter).
TEST(SineFit, ResidualOfAnIdealConverter) {
    std::vector<float> audio = made({.seconds = 2.0, .amplitude = 0.97, .pitch_hz = 487.123});
    for (float& x : audio) x = std::round(x * 128.0F) / 128.0F;
    const auto fit = fit_sine_4(audio, 8000.0, 487.123);
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->residual_rms, 1.0 / 128.0 / std::sqrt(12.0), 0.03 / 128.0 / std::sqrt(12.0));
}

// Rife and Boorstyn 1974: 12 / (eta N (N^2 - 1)) with eta = A^2 / (2 sigma^2), radians a sample.
TEST(SineFit, LeastDeviationIsTheBoundInItsUsualForm) {
    const double rate = 8000.0, seconds = 10.0, amplitude = 0.3, sigma = 0.1;
    const double n = rate * seconds;
    const double eta = amplitude * amplitude / (2.0 * sigma * sigma);
    const double bound =
        std::sqrt(12.0 / (eta * n * (n * n - 1.0))) * rate / (2.0 * std::numbers::pi);
    EXPECT_NEAR(least_frequency_sd_hz(amplitude, 2.0 * sigma * sigma / rate, seconds), bound,
                1e-6 * bound);
}

TEST(SineFit, ReachesTheBound) {
    const std::uint64_t first = support::test_seed(500);
    double square = 0.0, square_drift = 0.0;
    constexpr int kSeeds = 200;
    const TestTone like{
        .seconds = 1.0, .snr_db = 10.0, .noise_low_hz = 1.0, .noise_high_hz = 3999.0};
    for (int n = 0; n < kSeeds; ++n) {
        TestTone tone = like;
        tone.seed = first + static_cast<std::uint64_t>(n);
        const auto fit = fit_sine_5(made(tone), 8000.0, 700.1);
        ASSERT_TRUE(fit);
        square += std::pow(fit->frequency_hz - 700.0, 2.0) / kSeeds;
        square_drift += std::pow(fit->drift_hz_per_s, 2.0) / kSeeds;
    }
    const double density = 0.5 * 0.3 * 0.3 * 0.1 / 3998.0;
    // Spread of a deviation from 200 seeds: 5 %, here three times that.
    EXPECT_NEAR(std::sqrt(square) / least_frequency_sd_hz(0.3, density, 1.0), 1.0, 0.15);
    EXPECT_NEAR(std::sqrt(square_drift) / least_drift_sd_hz_per_s(0.3, density, 1.0), 1.0, 0.15);
}

TEST(SineFit, BadInputIsRefused) {
    const std::vector<float> few(20);
    EXPECT_FALSE(fit_sine_3(few, 8000.0, 700.0));
    EXPECT_FALSE(fit_sine_3(made({}), 8000.0, 0.0));
    EXPECT_FALSE(fit_sine_4(made({}), 8000.0, 4000.0));
    EXPECT_FALSE(fit_sine_3({}, 8000.0, 700.0));
    const std::vector<float> silence(8000);
    const auto fit = fit_sine_4(silence, 8000.0, 700.0);
    if (fit) {
        EXPECT_EQ(fit->amplitude, 0.0);
    }
}

}  // namespace
}  // namespace skedlark::bench
