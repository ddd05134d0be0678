#include "dsp/tone/measure_pitch.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "tests/dsp/tone/detection_theory.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

std::vector<float> cosine(double hz, double amplitude, double phase, std::size_t length) {
    std::vector<float> audio(length);
    for (std::size_t n = 0; n < length; ++n)
        audio[n] = static_cast<float>(
            amplitude *
            std::cos(2.0 * std::numbers::pi * hz * static_cast<double>(n) / 8000.0 + phase));
    return audio;
}

TEST(MeasurePitch, IsExactWithoutNoise) {
    const auto audio = cosine(700.123, 0.5, 1.0, 8001);
    const auto measured = measure_pitch(audio, 300.0, 3000.0);
    ASSERT_TRUE(measured.ok());
    EXPECT_NEAR(measured->pitch_hz, 700.123, 1e-4);  // the mirror line at -700 Hz pulls this much
    EXPECT_NEAR(measured->amplitude, 0.5, 1e-3);
    const double phase = std::remainder(
        2.0 * std::numbers::pi * 700.123 * 4000.0 / 8000.0 + 1.0 - measured->phase_rad,
        2.0 * std::numbers::pi);
    EXPECT_NEAR(phase, 0.0, 1e-3);
}

// Within 1 dB of the Cramer-Rao bound: rms error under 1.122 times the bound. The error of an rms
// over 400 trials is 3.5 %, so a limit of 1.122 leaves over three deviations above the bound
// itself; below it by four would be as wrong.
TEST(MeasurePitch, ReachesTheCramerRaoBound) {
    std::mt19937_64 random(support::test_seed(51));
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> spread(-5.0, 5.0);
    struct Case {
        double snr_db;  // A^2 / (2 deviation^2), full band
        std::size_t length;
    };
    for (const Case& point :
         {Case{0.0, 8000}, Case{-10.0, 8000}, Case{0.0, 1000}, Case{20.0, 480}}) {
        const double power_ratio = std::pow(10.0, 0.1 * point.snr_db);
        double squares = 0.0;
        constexpr int kTrials = 400;
        for (int trial = 0; trial < kTrials; ++trial) {
            const double hz = 900.0 + spread(random);
            auto audio = cosine(hz, std::sqrt(2.0 * power_ratio), spread(random), point.length);
            for (float& sample : audio) sample += static_cast<float>(normal(random));
            const auto measured = measure_pitch(audio, 200.0, 3000.0);
            ASSERT_TRUE(measured.ok());
            squares += std::pow(measured->pitch_hz - hz, 2.0);
        }
        const double rms = std::sqrt(squares / kTrials);
        const double seconds = static_cast<double>(point.length) / 8000.0;
        const double bound = test::cramer_rao_hz(power_ratio * 4000.0, seconds);
        EXPECT_LT(rms, 1.122 * bound) << point.snr_db << " dB, " << seconds << " s";
        EXPECT_GT(rms, 0.86 * bound);
        RecordProperty("rms_over_bound_" + std::to_string(point.length),
                       std::to_string(rms / bound));
    }
}

TEST(MeasurePitch, SilenceGivesNoAmplitude) {
    const auto measured = measure_pitch(std::vector<float>(1000), 200.0, 3000.0);
    ASSERT_TRUE(measured.ok());
    EXPECT_EQ(measured->amplitude, 0.0);
    EXPECT_TRUE(std::isfinite(measured->pitch_hz));
}

TEST(MeasurePitch, RefusesWhatCannotBe) {
    const std::vector<float> audio(1000);
    EXPECT_FALSE(measure_pitch(std::vector<float>(15), 200.0, 3000.0).ok());
    EXPECT_FALSE(measure_pitch(audio, 3000.0, 200.0).ok());
    EXPECT_FALSE(measure_pitch(audio, 200.0, 4000.0).ok());
    EXPECT_FALSE(measure_pitch(audio, 200.0, 3000.0, 0.0).ok());
}

}  // namespace
}  // namespace skedlark::tone
