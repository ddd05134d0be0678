#include "dsp/synth/noise.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

constexpr double kRate = 8000.0;

std::vector<double> made(NoiseSource& source, std::size_t frames) {
    std::vector<double> audio(frames, 0.0);
    source.add(audio);
    return audio;
}

double mean_square(std::span<const double> x) {
    double sum = 0.0;
    for (const double value : x) sum += value * value;
    return sum / static_cast<double>(x.size());
}

TEST(Noise, WhiteOfUnitRms) {
    NoiseSource source({}, 0.3, kRate, probe::test_seed());
    const auto x = made(source, 1'000'000);
    EXPECT_NEAR(probe::db(mean_square(x) / 0.09), 0.0, 0.035);  // five standard errors
    double product = 0.0;
    for (std::size_t i = 1; i < x.size(); ++i) product += x[i] * x[i - 1] / 0.09 / 1e6;
    EXPECT_NEAR(product, 0.0, 0.005);
    const std::vector<float> samples(x.begin(), x.begin() + 400'000);
    for (const double hz : {200.0, 2000.0, 3700.0}) {
        EXPECT_NEAR(probe::db(probe::density_at(samples, hz, kRate, 800) * 4000.0 / 0.09), 0.0,
                    0.35)
            << hz;
    }
}

// Definition: Poisson crashes, 2 to 20 ms equally likely, power 100 times the unit noise on top of
// it.
TEST(Noise, StaticRateLengthAndLevel) {
    NoiseConfig config;
    config.crashes_per_s = 6.0;
    NoiseSource source(config, 1.0, kRate, probe::test_seed());
    const double seconds = 1500.0;
    const auto x = made(source, static_cast<std::size_t>(seconds * kRate));
    const auto& crashes = source.crashes();
    EXPECT_NEAR(static_cast<double>(crashes.size()), 9000.0, 5.0 * std::sqrt(9000.0));
    double length = 0.0;
    double gap_square = 0.0;
    for (std::size_t i = 0; i < crashes.size(); ++i) {
        ASSERT_GE(crashes[i].length_s, 0.002);
        ASSERT_LE(crashes[i].length_s, 0.020);
        length += crashes[i].length_s / static_cast<double>(crashes.size());
        if (i > 0) {
            const double gap = crashes[i].at_s - crashes[i - 1].at_s;
            gap_square += gap * gap / static_cast<double>(crashes.size() - 1);
        }
    }
    EXPECT_NEAR(length, 0.011, 5.0 * 0.0052 / std::sqrt(9000.0));
    // Exponential gaps: mean square twice the squared mean.
    EXPECT_NEAR(gap_square * 36.0, 2.0, 0.25);
    // From the audio alone: whole mean power 1 + 6 x 0.011 x 100, and how often it is beyond 5
    // sigma of the plain noise: in a crash (deviation 10.05) 61.9 % of the samples, else next to
    // never.
    EXPECT_NEAR(mean_square(x), 7.6, 0.35);
    double beyond = 0.0;
    for (const double value : x)
        beyond += std::abs(value) > 5.0 ? 1.0 / static_cast<double>(x.size()) : 0.0;
    const double in_crash = 1.0 - std::exp(-6.0 * 0.011);
    EXPECT_NEAR(beyond, in_crash * 0.619, 0.05 * in_crash);
}

TEST(Noise, CrashesWhereTheTruthSays) {
    NoiseConfig config;
    config.crashes_per_s = 2.0;
    config.crash_level_db = 40.0;
    NoiseSource source(config, 1.0, kRate, probe::test_seed());
    const auto x = made(source, 400'000);
    std::vector<bool> in_crash(x.size() + 400, false);
    for (const Crash& crash : source.crashes()) {
        const auto from = static_cast<std::size_t>(std::lround(crash.at_s * kRate));
        const auto frames = static_cast<std::size_t>(std::lround(crash.length_s * kRate));
        for (std::size_t i = from; i < from + frames; ++i) in_crash[i] = true;
    }
    double inside = 0.0;
    double outside = 0.0;
    int inside_count = 0;
    for (std::size_t i = 0; i < x.size(); ++i) {
        (in_crash[i] ? inside : outside) += x[i] * x[i];
        if (in_crash[i]) ++inside_count;
    }
    EXPECT_NEAR(probe::db(inside / inside_count), 40.0, 0.5);
    EXPECT_NEAR(probe::db(outside / (static_cast<double>(x.size()) - inside_count)), 0.0, 0.1);
}

TEST(Noise, DecayingCrashes) {
    NoiseConfig config;
    config.crashes_per_s = 1.0;
    config.crash_level_db = 50.0;
    config.crash_min_s = 0.05;
    config.crash_max_s = 0.05;
    config.crash_shape = CrashShape::decay;
    NoiseSource source(config, 1.0, kRate, probe::test_seed());
    const auto x = made(source, 8'000'000);
    double first = 0.0;
    double last = 0.0;
    int count = 0;
    const auto& crashes = source.crashes();
    for (std::size_t i = 1; i + 1 < crashes.size(); ++i) {
        if (crashes[i].at_s - crashes[i - 1].at_s < 0.06 ||
            crashes[i + 1].at_s - crashes[i].at_s < 0.06)
            continue;
        const auto at = static_cast<std::size_t>(std::lround(crashes[i].at_s * kRate));
        for (std::size_t n = 0; n < 20; ++n) {
            first += x[at + n] * x[at + n];
            last += x[at + 379 + n] * x[at + 379 + n];
        }
        count += 20;
    }
    // exp(-6) of the power over its 400 samples, 379 apart: 24.7 dB.
    EXPECT_NEAR(probe::db(first / count), 50.0 - 26.06 * 10.0 / 400.0, 0.4);
    EXPECT_NEAR(probe::db(first / last), 26.06 * 379.0 / 400.0, 0.4);
}

// Vd, rms over mean envelope in 200 Hz: 1.049 dB for Gaussian noise (theory).
double vd_db(std::span<const double> x) {
    // Mixed from 1 kHz to 0 and averaged over a Hann window of 10 ms: 200 Hz between its -6 dB
    // points.
    const std::size_t length = 80;
    double envelope = 0.0;
    double square = 0.0;
    int count = 0;
    for (std::size_t at = 0; at + length <= x.size(); at += 40) {
        std::complex<double> sum;
        for (std::size_t i = 0; i < length; ++i) {
            const double phase = 2.0 * std::numbers::pi * 0.125 * static_cast<double>(i);
            const double window =
                1.0 - std::cos(2.0 * std::numbers::pi * (static_cast<double>(i) + 0.5) / 80.0);
            sum += x[at + i] * window * std::polar(1.0, -phase);
        }
        envelope += std::abs(sum);
        square += std::norm(sum);
        ++count;
    }
    return 20.0 * std::log10(std::sqrt(square / count) / (envelope / count));
}

TEST(Noise, HeavyTails) {
    for (const double vd : {1.049, 3.0, 5.0}) {
        NoiseConfig config;
        config.vd_db = vd;
        NoiseSource source(config, 1.0, kRate, probe::test_seed());
        const auto x = made(source, 8'000'000);
        // The window's 10 ms see a little less of the swing than 200 Hz of any shape would.
        EXPECT_NEAR(vd_db(x), vd, vd > 1.1 ? 0.1 * vd : 0.03);
        // Mean power stays: log-normal swings of 20 ms make it settle slowly.
        EXPECT_NEAR(probe::db(mean_square(x)), 0.0, vd > 4.0 ? 0.4 : 0.15);
    }
}

TEST(Noise, SilenceAddsNothing) {
    NoiseSource source({}, 0.0, kRate, 1);
    for (const double value : made(source, 1000)) ASSERT_EQ(value, 0.0);
}

}  // namespace
}  // namespace skedlark::synth
