#include "dsp/bench/pitch_second.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "tests/accuracy/bench_events/signals.h"
#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

std::vector<float> second_of(double hz, double slope, double snr_db, std::uint64_t seed) {
    std::vector<float> audio(8000, 0.0F);
    std::mt19937_64 random(seed);
    const double phase = std::uniform_real_distribution<double>(0.0, 6.28)(random);
    accuracy::add_tone(audio, 8000.0, 0.1, phase, [&](double t) { return hz + slope * (t - 0.5); });
    if (snr_db < 200.0) accuracy::add_noise_for(audio, 8000.0, 0.1, snr_db, seed);
    return audio;
}

TEST(PitchSecond, ACleanToneToHalfAMillihertz) {
    auto meter = PitchMeter::create({});
    for (const double hz : {140.3, 700.0, 1234.567, 2950.0}) {
        for (const double slope : {0.0, -7.0, 40.0}) {
            const PitchSecond found = meter->measure(second_of(hz, slope, 300.0, 1));
            ASSERT_EQ(found.state, ToneState::one) << hz << " " << slope;
            EXPECT_NEAR(found.pitch_hz, hz, 5e-4) << slope;
            EXPECT_NEAR(found.slope_hz_per_s, slope, 0.01);
            EXPECT_NEAR(found.amplitude, 0.1, 0.001);
        }
    }
}

TEST(PitchSecond, WithinADecibelOfTheCramerRaoBoundAndTrueAboutIt) {
    // Bound: var f = 6 / (4 pi^2 C/N0 T^3) (references: Rife and Boorstyn 1974).
    auto meter = PitchMeter::create({});
    const std::uint64_t seed = support::test_seed(21);
    for (const double snr_db : {0.0, 20.0}) {
        const double carrier_to_density = 2400.0 * std::pow(10.0, 0.1 * snr_db);
        const double bound =
            std::sqrt(6.0 / (4.0 * std::numbers::pi * std::numbers::pi * carrier_to_density));
        double squares = 0.0;
        int inside = 0;
        constexpr int kRuns = 400;
        for (int n = 0; n < kRuns; ++n) {
            const PitchSecond found = meter->measure(
                second_of(650.0 + 0.1 * n, 0.3, snr_db, support::seed_for_part(seed, n)));
            ASSERT_EQ(found.state, ToneState::one);
            const double error = found.pitch_hz - 650.0 - 0.1 * n;
            squares += error * error;
            if (std::abs(error) <= 1.96 * found.sd_hz) ++inside;
            EXPECT_NEAR(found.snr_2400hz_db, snr_db, 2.5);
        }
        const double rms = std::sqrt(squares / kRuns);
        EXPECT_LT(20.0 * std::log10(rms / bound), 1.0) << snr_db;
        EXPECT_GT(inside / double{kRuns}, 0.92);
        EXPECT_LT(inside / double{kRuns}, 0.98);
    }
}

TEST(PitchSecond, NoiseAndSilenceHoldNoTone) {
    auto meter = PitchMeter::create({});
    EXPECT_EQ(meter->measure(std::vector<float>(8000, 0.0F)).state, ToneState::none);
    EXPECT_EQ(meter->measure(std::vector<float>(8000, 0.3F)).state, ToneState::none);
    int found = 0;
    accuracy::BenchNoise noise;
    noise.rate_hz = 8000.0;
    noise.seconds = 500.0;
    noise.filter = accuracy::valve_filter();
    const auto audio = accuracy::bench_noise(noise);
    for (std::size_t n = 0; n < 500; ++n) {
        if (meter->measure(std::span<const float>(audio).subspan(8000 * n, 8000)).state !=
            ToneState::none)
            ++found;
    }
    EXPECT_EQ(found, 0);
}

TEST(PitchSecond, TwoTonesAndTheEdgeAreTold) {
    auto meter = PitchMeter::create({});
    auto two = second_of(700.0, 0.0, 20.0, 5);
    accuracy::add_tone(two, 8000.0, 0.08, 0.0, [](double) { return 905.0; });
    const PitchSecond found = meter->measure(two);
    EXPECT_EQ(found.state, ToneState::two);
    EXPECT_NEAR(found.second_hz, 905.0, 2.0);
    // A harmonic is no second tone.
    auto harmonic = second_of(700.0, 0.0, 20.0, 5);
    accuracy::add_tone(harmonic, 8000.0, 0.08, 0.0, [](double) { return 1400.0; });
    EXPECT_EQ(meter->measure(harmonic).state, ToneState::one);
    EXPECT_EQ(meter->measure(second_of(108.0, 0.0, 20.0, 6)).state, ToneState::at_edge);
    EXPECT_EQ(meter->measure(second_of(3192.0, 0.0, 20.0, 6)).state, ToneState::at_edge);
}

TEST(PitchSecond, SettingsOutOfRangeAreRefused) {
    EXPECT_FALSE(PitchMeter::create({48000.0, 100.0, 3000.0}).ok());
    EXPECT_FALSE(PitchMeter::create({8000.0, 900.0, 950.0}).ok());
    EXPECT_FALSE(PitchMeter::create({8000.0, std::nan(""), 3000.0}).ok());
}

}  // namespace
}  // namespace skedlark::bench
