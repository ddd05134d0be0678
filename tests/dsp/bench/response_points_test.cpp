#include "dsp/bench/response_points.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "dsp/bench/passband.h"
#include "tests/accuracy/bench_events/signals.h"

namespace skedlark::bench {
namespace {

constexpr double kRateHz = 16000.0;

TEST(ResponsePoints, StepsOfKnownLevel) {
    std::vector<float> audio(static_cast<std::size_t>(6.0 * kRateHz), 0.0F);
    std::vector<GeneratorStep> steps;
    for (int n = 0; n < 6; ++n) {
        std::vector<float> tone(static_cast<std::size_t>(kRateHz), 0.0F);
        accuracy::add_tone(tone, kRateHz, 0.1 / (n + 1), 0.3,
                           [&](double) { return 300.0 + 377.7 * n; });
        std::copy(tone.begin(), tone.end(),
                  audio.begin() + static_cast<std::ptrdiff_t>(n * kRateHz));
        steps.push_back({{n + 0.02, n + 0.98},
                         n == 3 ? 10.0 : 0.0,
                         n < 3 ? BeatSide::below : BeatSide::above,
                         0.0});
    }
    accuracy::add_noise_for(audio, kRateHz, 0.1, 40.0, 5);
    const auto points = step_points(audio, kRateHz, steps);
    ASSERT_TRUE(points.ok()) << points.error().message;
    ASSERT_EQ(points->size(), 6U);
    for (int n = 0; n < 6; ++n) {
        const ResponsePoint& p = (*points)[static_cast<std::size_t>(n)];
        EXPECT_NEAR(std::abs(p.offset_hz), 300.0 + 377.7 * n, 0.5);
        EXPECT_EQ(p.offset_hz < 0.0, n < 3);
        // 0 dBFS is a sine of peak 1.
        const double exact = 20.0 * std::log10(0.1 / (n + 1)) - (n == 3 ? 10.0 : 0.0);
        EXPECT_NEAR(p.level_db.value, exact, 2.0 * p.level_db.uncertainty_95 + 0.005) << n;
    }
}

TEST(ResponsePoints, ASweepThroughZeroBeatStandsOnBothSides) {
    std::vector<float> audio(static_cast<std::size_t>(40.0 * kRateHz), 0.0F);
    accuracy::add_tone(audio, kRateHz, 0.1, 0.0,
                       [](double t) { return std::abs(2000.0 - 100.0 * t); });
    accuracy::add_noise_for(audio, kRateHz, 0.1, 40.0, 6);
    const auto points = sweep_points(audio, kRateHz, {0.0, 40.0}, BeatSide::above);
    ASSERT_TRUE(points.ok()) << points.error().message;
    EXPECT_NEAR(points->front().offset_hz, 1995.0, 3.0);
    EXPECT_NEAR(points->back().offset_hz, -1995.0, 6.0);
    for (const ResponsePoint& p : *points) EXPECT_NEAR(p.level_db.value, -20.0, 0.3) << p.offset_hz;
}

TEST(ResponsePoints, NoiseThroughATunedCircuit) {
    // Closed form: a single circuit is 6 dB down (factor 4 - 1 = 3) at sqrt 3 times its 3 dB width.
    accuracy::BenchNoise noise;
    noise.rate_hz = kRateHz;
    noise.seconds = 60.0;
    noise.filter.kind = synth::FilterKind::peak;
    noise.filter.centre_hz = 1500.0;
    noise.filter.width_hz = 600.0;
    const auto points = noise_points(accuracy::bench_noise(noise), kRateHz);
    ASSERT_TRUE(points.ok());
    const auto band = read_passband(*points, {});
    ASSERT_TRUE(band.ok());
    ASSERT_TRUE(band->at_6_db.width_hz.has_value());
    EXPECT_NEAR(band->at_6_db.width_hz->value, 600.0 * std::sqrt(3.0),
                0.04 * 600.0 * std::sqrt(3.0));
    EXPECT_FALSE(band->at_60_db.width_hz.has_value());
}

TEST(ResponsePoints, BadInputIsNamed) {
    std::vector<float> audio(static_cast<std::size_t>(12.0 * kRateHz), 0.0F);
    accuracy::add_tone(audio, kRateHz, 0.1, 0.0, [](double) { return 700.0; });
    const auto refusal = [&](const std::vector<GeneratorStep>& steps) {
        const auto points = step_points(audio, kRateHz, steps);
        return points ? std::string() : points.error().message;
    };
    EXPECT_NE(refusal({{{0.0, 1.0}}, {{2.0, 3.0}}, {{1.0, 2.0}}}).find("in order of time"),
              std::string::npos);
    EXPECT_NE(refusal({{{0.0, 1.0}}, {{1.0, 2.0}}}).find("too few"), std::string::npos);
    EXPECT_NE(refusal({{{0.0, 1.0}}, {{1.0, 1.1}}, {{2.0, 3.0}}}).find("too short"),
              std::string::npos);
    EXPECT_NE(refusal({{{0.0, 1.0}}, {{1.0, 2.0}}, {{11.0, 13.0}}}).find("inside the recording"),
              std::string::npos);
    accuracy::add_tone(audio, kRateHz, 0.08, 0.0, [](double) { return 940.0; });
    EXPECT_NE(refusal({{{0.0, 1.0}}, {{1.0, 2.0}}, {{2.0, 3.0}}}).find("two tones"),
              std::string::npos);
    std::vector<float> noise(audio.size(), 0.0F);
    accuracy::add_noise_for(noise, kRateHz, 0.1, 0.0, 1);
    EXPECT_FALSE(step_points(noise, kRateHz, {{{0.0, 1.0}}, {{1.0, 2.0}}, {{2.0, 3.0}}}).ok());
    EXPECT_FALSE(sweep_points(noise, kRateHz, {0.0, 10.0}, BeatSide::above).ok());
    EXPECT_FALSE(noise_points(std::span<const float>(noise).first(8000), kRateHz).ok());
}

}  // namespace
}  // namespace skedlark::bench
