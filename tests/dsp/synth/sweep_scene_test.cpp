#include "dsp/synth/sweep_scene.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

SweepSceneConfig one_carrier(double at_hz, double rate_hz_per_s) {
    SweepSceneConfig config;
    config.seconds = 8.0;
    config.dial.rate_hz_per_s = rate_hz_per_s;
    SweepStation station;
    station.at_hz = at_hz;
    station.station.carrier = true;
    config.stations.push_back(station);
    return config;
}

// Zero crossings in a stretch: twice the pitch, where it is steady enough.
double pitch_at(const SweepScene& scene, double at_s, double rate_hz) {
    const auto middle = static_cast<std::size_t>(at_s * rate_hz);
    const auto half = static_cast<std::size_t>(0.02 * rate_hz);
    int crossings = 0;
    for (std::size_t n = middle - half; n < middle + half; ++n)
        crossings += (scene.samples[n] > 0.0F) != (scene.samples[n + 1] > 0.0F) ? 1 : 0;
    return crossings / 0.08;
}

// A station 4 kHz above, passed at 1 kHz/s, is at zero beat after 4 s, and its pitch is as many
// kilohertz as the seconds from there: the definition of a beat.
TEST(SweepScene, PitchFallsToZeroBeatAndRisesAgain) {
    for (const double way : {1.0, -1.0}) {
        const auto scene = make_sweep_scene(one_carrier(way * 4000.0, way * 1000.0));
        ASSERT_TRUE(scene.ok());
        ASSERT_EQ(scene->truth.stations.front().zero_beats_s.size(), 1U);
        EXPECT_NEAR(scene->truth.stations.front().zero_beats_s.front(), 4.0, 0.001);
        EXPECT_NEAR(scene->truth.stations.front().rates_hz_per_s.front(), 1000.0, 1e-6);
        EXPECT_NEAR(scene->truth.tuned_hz[30], way * 3000.0, 2.0);
        for (const double at_s : {2.0, 3.0, 5.0, 6.5})
            EXPECT_NEAR(pitch_at(*scene, at_s, 8000.0), 1000.0 * std::abs(at_s - 4.0), 30.0);
        // Beyond the intermediate frequency's filter nothing is heard.
        for (std::size_t n = 0; n < 2000; ++n) ASSERT_EQ(scene->samples[n], 0.0F);
    }
}

TEST(SweepScene, LevelsAreOfKeyDownPower) {
    auto config = one_carrier(1500.0, 0.0);
    config.stations.front().station.level_db = -6.0;
    const auto scene = make_sweep_scene(config);
    ASSERT_TRUE(scene.ok());
    EXPECT_TRUE(scene->truth.stations.front().zero_beats_s.empty());
    double square = 0.0;
    for (const float value : scene->samples) square += static_cast<double>(value * value);
    EXPECT_NEAR(10.0 * std::log10(2.0 * square / static_cast<double>(scene->samples.size())), -36.0,
                0.05);
}

// White noise of the stated density: power in half the sample rate, plain arithmetic.
TEST(SweepScene, NoiseHasTheStatedDensity) {
    SweepSceneConfig config;
    config.seconds = 20.0;
    config.seed = probe::test_seed();
    config.snr_2500hz_db = -10.0;
    const auto scene = make_sweep_scene(config);
    ASSERT_TRUE(scene.ok());
    double square = 0.0;
    for (const float value : scene->samples) square += static_cast<double>(value * value);
    const double rms_db = 10.0 * std::log10(square / static_cast<double>(scene->samples.size()));
    EXPECT_NEAR(rms_db, -33.01 + 10.0 + 10.0 * std::log10(4000.0 / 2500.0), 0.1);
}

TEST(SweepScene, ErrorsNameTheField) {
    const auto fails = [](const SweepSceneConfig& config, const std::string& field) {
        const auto scene = make_sweep_scene(config);
        ASSERT_FALSE(scene.ok());
        EXPECT_NE(scene.error().message.find(field), std::string::npos) << scene.error().message;
    };
    auto config = one_carrier(0.0, 1000.0);
    config.dial.wobble = 1.5;
    fails(config, "dial.wobble: 1.5, allowed 0 to 0.9");
    config = one_carrier(2e6, 1000.0);
    fails(config, "stations[0].at_hz");
    config = one_carrier(0.0, 1000.0);
    config.stations.front().station.speed_wpm = 2.0;
    fails(config, "stations[0]: wanted.speed_wpm");
    config = one_carrier(0.0, 1000.0);
    config.seconds = 0.0;
    fails(config, "seconds");
}

}  // namespace
}  // namespace skedlark::synth
