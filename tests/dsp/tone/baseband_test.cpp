#include "dsp/tone/baseband.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

double response(double hz) {
    std::complex<double> sum;
    const auto& weights = baseband_weights();
    for (std::size_t n = 0; n < weights.size(); ++n)
        sum += std::polar(static_cast<double>(weights[n]),
                          2.0 * std::numbers::pi * hz * static_cast<double>(n) / kWorkRateHz);
    return std::abs(sum);
}

TEST(Baseband, AToneKeepsItsAmplitudeAndPhase) {
    Baseband baseband;
    for (int n = 0; n < 2000; ++n)
        baseband.push(
            static_cast<float>(0.3 * std::cos(2.0 * std::numbers::pi * 700.0 * n / 8000.0 + 0.5)),
            700.0);
    EXPECT_NEAR(std::abs(baseband.value()), 0.3F, 0.001F);
    EXPECT_NEAR(std::arg(baseband.value()), 0.5F, 0.01F);
}

// Root-raised-cosine of roll-off 0.5 at 200 a second: half power at 100 Hz, flat to 50, nothing
// from 150.
TEST(Baseband, HasTheShapeOfARootNyquistFilter) {
    EXPECT_NEAR(response(0.0), 1.0, 1e-6);
    EXPECT_NEAR(20.0 * std::log10(response(40.0)), 0.0, 0.3);
    EXPECT_NEAR(20.0 * std::log10(response(100.0)), -3.01, 0.3);
    for (double hz = 170.0; hz < 4000.0; hz += 5.0)
        EXPECT_LT(20.0 * std::log10(response(hz)), -30.0);
    EXPECT_NEAR(baseband_noise_hz(), 200.0, 4.0);
}

// A Hann window whose first zero lies at 90 Hz (Harris, Proc. IEEE 66, 1978): half the amplitude at
// half of that, nothing at the zero, side lobes below -31 dB; and as before when opened again.
TEST(Baseband, ShutsOutANeighbour) {
    Baseband baseband;
    const auto level_db = [&](double beside_hz) {
        baseband.reset();
        for (int n = 0; n < 2000; ++n) {
            const double turns = (700.0 + beside_hz) * n / kWorkRateHz;
            baseband.push(static_cast<float>(std::cos(2.0 * std::numbers::pi * turns)), 700.0);
        }
        return 20.0 * std::log10(static_cast<double>(std::abs(baseband.value())));
    };
    baseband.shut_from(90.0);
    EXPECT_NEAR(level_db(0.0), 0.0, 0.02);
    EXPECT_NEAR(level_db(45.0), -6.02, 0.2);
    EXPECT_LT(level_db(90.0), -50.0);
    for (double hz = 85.0; hz < 600.0; hz += 5.0) {
        EXPECT_LT(level_db(hz), hz < 90.0 ? -25.0 : -31.0) << hz;
        EXPECT_LT(level_db(-hz), hz < 90.0 ? -25.0 : -31.0) << hz;
    }
    baseband.shut_from(0.0);
    EXPECT_NEAR(level_db(100.0), -3.01, 0.3);
}

TEST(Baseband, NoiseOfNeighbouringFramesIsUncorrelatedAndOfTheStatedVariance) {
    std::mt19937_64 random(support::test_seed(61));
    std::normal_distribution<float> normal;
    Baseband baseband;
    std::vector<std::complex<double>> frames;
    for (int n = 0; n < 40 * 20000; ++n) {
        baseband.push(normal(random), 700.0);
        if (n % kWorkFramesPerBaseband == 0 && n > 400) frames.emplace_back(baseband.value());
    }
    double power = 0.0;
    for (const auto& z : frames) power += std::norm(z);
    power /= static_cast<double>(frames.size());
    // Density 2 / fs, doubled by keeping a tone's amplitude; 20000 frames give 0.7 %.
    EXPECT_NEAR(power / (2.0 * 2.0 / kWorkRateHz * baseband_noise_hz()), 1.0, 0.03);
    for (std::size_t lag = 1; lag <= 6; ++lag) {
        std::complex<double> sum;
        for (std::size_t n = lag; n < frames.size(); ++n)
            sum += frames[n] * std::conj(frames[n - lag]);
        EXPECT_LT(std::abs(sum) / power / static_cast<double>(frames.size()), 0.04)
            << "lag " << lag;
    }
}

TEST(Baseband, PhaseRunsOnWhenThePitchChanges) {
    Baseband baseband;
    double phase = 0.0;
    for (int n = 0; n < 4000; ++n) {
        const double hz = n < 2000 ? 700.0 : 725.0;
        baseband.push(static_cast<float>(std::cos(phase)), hz);
        phase += 2.0 * std::numbers::pi * hz / kWorkRateHz;
        if (n > 400) {
            ASSERT_NEAR(std::arg(baseband.value()), 0.0F, 0.01F);
        }
    }
}

TEST(Baseband, PushAndValueDoNotAllocate) {
    Baseband baseband;
    baseband.push(0.1F, 700.0);
    static_cast<void>(baseband.value());  // the pulse, shared by all, is made at the first call
    const support::AllocationCount count;
    for (int n = 0; n < 1000; ++n) baseband.push(0.1F, 700.0);
    EXPECT_NE(baseband.value(), std::complex<float>());
    EXPECT_EQ(count.made(), 0);
    baseband.reset();
    EXPECT_EQ(baseband.value(), std::complex<float>());
}

}  // namespace
}  // namespace skedlark::tone
