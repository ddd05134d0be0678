#include "dsp/synth/dial_stream.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::synth {
namespace {

SweepSceneConfig one_carrier(double at_hz) {
    SweepSceneConfig config;
    config.seconds = 60.0;
    SweepStation station;
    station.at_hz = at_hz;
    station.station.carrier = true;
    config.stations.push_back(station);
    return config;
}

double pitch_of(const std::vector<float>& audio) {
    int crossings = 0;
    for (std::size_t n = 1; n < audio.size(); ++n)
        crossings += (audio[n] > 0.0F) != (audio[n - 1] > 0.0F) ? 1 : 0;
    return crossings / 2.0 / (static_cast<double>(audio.size()) / 8000.0);
}

TEST(DialStream, ThePitchIsTheDistanceWhereverTheDialIsTurned) {
    auto stream = DialStream::create(one_carrier(5000.0));
    ASSERT_TRUE(stream.ok()) << stream.error().message;
    std::vector<float> audio(8000);
    for (const double tuned_hz : {4300.0, 5700.0, 4000.0, 6500.0, 3000.0}) {
        (*stream)->turn_to(tuned_hz);
        (*stream)->read(std::span(audio).first(2000));  // 12 times the dial's own time
        (*stream)->read(audio);
        EXPECT_NEAR((*stream)->tuned_hz(), tuned_hz, 0.1);
        EXPECT_NEAR(pitch_of(audio), std::abs(5000.0 - tuned_hz), 1.0);
    }
    (*stream)->turn_to(0.0);
    (*stream)->read(audio);
    (*stream)->read(audio);
    for (const float sample : audio) ASSERT_EQ(sample, 0.0F);  // out of the filter
}

TEST(DialStream, AStepOfTheWheelDoesNotClick) {
    auto stream = DialStream::create(one_carrier(1500.0));
    ASSERT_TRUE(stream.ok());
    const double amplitude = 0.0316227766;  // -30 dBFS
    std::vector<float> audio(80);
    float before = 0.0F;
    bool begun = false;
    for (int i = 0; i < 100; ++i) {
        (*stream)->turn_to(i % 2 == 0 ? 1000.0 : 700.0);
        (*stream)->read(audio);
        for (const float sample : audio) {
            // Steepest of what is heard: 800 Hz.
            if (begun) {
                EXPECT_LE(std::abs(static_cast<double>(sample - before)),
                          amplitude * 6.2832 * 1500.0 / 8000.0);
            }
            before = sample;
            begun = true;
        }
    }
}

TEST(DialStream, AStationSendsWhatItIsTold) {
    SweepSceneConfig config = one_carrier(700.0);
    config.stations.front().station.carrier = false;
    auto stream = DialStream::create(config);
    ASSERT_TRUE(stream.ok());
    std::vector<float> audio(16000);
    (*stream)->read(audio);
    for (const float sample : audio) ASSERT_EQ(sample, 0.0F);
    const auto ends_s = (*stream)->send(0, "E", 1.0);
    ASSERT_TRUE(ends_s.ok());
    EXPECT_NEAR(*ends_s, 1.0 + 1.2 / 20.0, 1e-6);  // a dot at 20 wpm
    (*stream)->read(audio);
    std::size_t first = 0;
    while (first < audio.size() && std::abs(audio[first]) < 0.01F) ++first;
    EXPECT_NEAR(static_cast<double>(first) / 8000.0, 1.0, 0.005);
    EXPECT_FALSE((*stream)->send(0, "\x01", 1.0).ok());
}

TEST(DialStream, SettingsOutOfRangeAreRefused) {
    SweepSceneConfig config = one_carrier(2e6);
    const auto stream = DialStream::create(config);
    ASSERT_FALSE(stream.ok());
    EXPECT_NE(stream.error().message.find("stations[0].at_hz"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::synth
