#include "dsp/bench/drift.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>

#include "tests/accuracy/bench_events/signals.h"

namespace skedlark::bench {
namespace {

constexpr double kRateHz = 48000.0;

std::vector<float> warming(double seconds) {
    std::vector<float> audio(static_cast<std::size_t>(seconds * kRateHz), 0.0F);
    accuracy::add_tone(audio, kRateHz, 0.1, 0.3, [](double t) {
        return 800.0 + 40.0 * std::exp(-t / 20.0) + (t > 80.3 ? 2.0 : 0.0);
    });
    accuracy::add_noise_for(audio, kRateHz, 0.1, 20.0, 8);
    return audio;
}

Result<Drift> drift_of(std::span<const float> audio, const DriftConfig& config = {}) {
    auto meter = DriftMeter::create(config);
    if (!meter) return meter.error();
    meter->process(audio);
    return meter->finish();
}

TEST(Drift, CurveJumpAndEnds) {
    DriftConfig config;
    config.within_hz = 5.0;
    config.for_s = 20.0;
    const auto drift = drift_of(warming(120.0), config);
    ASSERT_TRUE(drift.ok()) << drift.error().message;
    ASSERT_GE(drift->curve.points().size(), 119U);
    for (std::size_t i = 0; i < 119; ++i) {
        if (i == 80) continue;
        // Mean of the pitch over the second, to first order in its bend.
        const double t = static_cast<double>(i) + 0.5;
        const double exact = 800.0 + 40.0 * std::exp(-t / 20.0) + (t > 80.3 ? 2.0 : 0.0);
        EXPECT_NEAR(drift->curve.points()[i].pitch_hz, exact, 0.01) << i;
    }
    ASSERT_EQ(drift->jumps.size(), 1U);
    EXPECT_NEAR(drift->jumps[0].at_s, 80.3, 1.0);
    EXPECT_NEAR(drift->jumps[0].step_hz.value, 2.0, 0.05);
    // Closed form: 40 e^(-t/20) (1 - 1/e) = 5 at t = 32.4; the jump of 2 Hz stays inside 5.
    ASSERT_TRUE(drift->settled_s.has_value());
    EXPECT_NEAR(drift->settled_s->value, 20.0 * std::log(40.0 * (1.0 - std::exp(-1.0)) / 5.0), 2.0);
    EXPECT_NEAR(drift->snr_2400hz_db, 20.0, 1.0);
    EXPECT_GT(drift->pitch_at_end_hz.uncertainty_95, 0.08);  // 100 ppm of 802 Hz
    EXPECT_LT(drift->total_drift_hz.uncertainty_95, 10.0);
}

TEST(Drift, SameForAnySplit) {
    const auto audio = warming(40.0);
    auto whole = *DriftMeter::create({}), pieces = *DriftMeter::create({});
    whole.process(audio);
    for (std::size_t at = 0, n = 1; at < audio.size(); at += n, n = (n * 7 + 11) % 50021) {
        pieces.process(std::span<const float>(audio).subspan(at, std::min(n, audio.size() - at)));
    }
    const auto a = whole.finish(), b = pieces.finish();
    ASSERT_TRUE(a.ok());
    ASSERT_TRUE(b.ok());
    for (std::size_t i = 0; i < a->curve.points().size(); ++i) {
        EXPECT_EQ(a->curve.points()[i].pitch_hz, b->curve.points()[i].pitch_hz);
    }
}

TEST(Drift, WhatIsNoSteadyToneIsNamed) {
    const auto refusal = [](std::span<const float> audio) {
        const auto drift = drift_of(audio);
        return drift ? std::string() : drift.error().message;
    };
    EXPECT_NE(refusal(warming(12.0)).find("at least 30 s"), std::string::npos);
    std::vector<float> noise(static_cast<std::size_t>(40.0 * kRateHz), 0.0F);
    EXPECT_NE(refusal(noise).find("no steady tone"), std::string::npos);
    accuracy::add_noise_for(noise, kRateHz, 0.1, 0.0, 3);
    EXPECT_NE(refusal(noise).find("no steady tone"), std::string::npos);
    auto two = warming(40.0);
    accuracy::add_tone(two, kRateHz, 0.09, 0.0, [](double) { return 1300.0; });
    EXPECT_NE(refusal(two).find("two tones"), std::string::npos);
    std::vector<float> edge(static_cast<std::size_t>(40.0 * kRateHz), 0.0F);
    accuracy::add_tone(edge, kRateHz, 0.1, 0.0, [](double) { return 2992.0; });
    EXPECT_NE(refusal(edge).find("edge"), std::string::npos);
}

TEST(Drift, NoNumbersSpoilTheirSecondOnly) {
    auto audio = warming(40.0);
    audio[static_cast<std::size_t>(20.5 * kRateHz)] = std::numeric_limits<float>::infinity();
    const auto drift = drift_of(audio);
    ASSERT_TRUE(drift.ok());
    ASSERT_FALSE(drift->remarks.empty());
    EXPECT_NE(drift->remarks[0].find("no numbers"), std::string::npos);
    EXPECT_EQ(drift->curve.points()[20].seconds, 0);
    EXPECT_EQ(drift->curve.points()[22].seconds, 1);
}

TEST(Drift, SettingsOutOfRangeAreRefused) {
    DriftConfig config;
    config.within_hz = 0.0;
    EXPECT_FALSE(DriftMeter::create(config).ok());
    config = {};
    config.sample_rate_hz = 4000.0;
    EXPECT_FALSE(DriftMeter::create(config).ok());
    config = {};
    config.supply = {{50.0, Supply::low}, {40.0, Supply::high}};
    EXPECT_FALSE(DriftMeter::create(config).ok());
}

}  // namespace
}  // namespace skedlark::bench
