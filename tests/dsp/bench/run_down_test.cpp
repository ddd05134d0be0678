#include "dsp/bench/run_down.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/accuracy/bench_events/signals.h"

namespace skedlark::bench {
namespace {

constexpr double kRateHz = 8000.0;

// Steady for 200 s, then 0.1 dB a second down; pitch falls with it; gone at 400 s.
std::vector<float> dying(double seconds) {
    std::vector<float> audio(static_cast<std::size_t>(seconds * kRateHz), 0.0F);
    accuracy::add_tone(audio, kRateHz, 0.1, 0.0,
                       [](double t) { return 800.0 - 0.05 * std::max(0.0, t - 200.0); });
    for (std::size_t i = 0; i < audio.size(); ++i) {
        const double t = static_cast<double>(i) / kRateHz;
        audio[i] *= t > 400.0
                        ? 0.0F
                        : static_cast<float>(std::pow(10.0, -0.005 * std::max(0.0, t - 200.0)));
    }
    accuracy::add_noise_for(audio, kRateHz, 0.1, 30.0, 2);
    return audio;
}

Result<RunDown> run_down_of(const std::vector<float>& audio) {
    RunDownConfig config;
    config.sample_rate_hz = kRateHz;
    auto meter = RunDownMeter::create(config);
    if (!meter) return meter.error();
    meter->process(audio);
    return meter->finish();
}

TEST(RunDown, WhenItFellAndWhenItFailed) {
    const auto result = run_down_of(dying(450.0));
    ASSERT_TRUE(result.ok()) << result.error().message;
    EXPECT_NEAR(result->first_level_dbfs.value, -20.0, 0.1);
    ASSERT_TRUE(result->fallen_at_s.has_value());
    EXPECT_NEAR(result->fallen_at_s->value, 260.0, 3.0);  // 6 dB at 0.1 dB a second
    ASSERT_TRUE(result->failed_at_s.has_value());
    EXPECT_NEAR(result->failed_at_s->value, 400.0, 1.5);
    EXPECT_NEAR(result->last_level_db, -20.0, 1.0);
    EXPECT_NEAR(result->last_pitch_change_hz, -10.0, 0.3);
}

TEST(RunDown, StillAliveIsNoFailing) {
    const auto result = run_down_of(dying(190.0));
    ASSERT_TRUE(result.ok());
    EXPECT_FALSE(result->failed_at_s.has_value());
    EXPECT_FALSE(result->fallen_at_s.has_value());
}

TEST(RunDown, BadInputIsNamed) {
    EXPECT_FALSE(run_down_of(dying(60.0)).ok());
    const auto silent =
        run_down_of(std::vector<float>(static_cast<std::size_t>(150.0 * kRateHz), 0.0F));
    ASSERT_FALSE(silent.ok());
    EXPECT_NE(silent.error().message.find("no steady tone"), std::string::npos);
    RunDownConfig config;
    config.fallen_db = 0.0;
    EXPECT_FALSE(RunDownMeter::create(config).ok());
}

}  // namespace
}  // namespace skedlark::bench
