#include "dsp/synth/station.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

std::vector<std::complex<double>> run(StationSignal& station, std::size_t frames) {
    std::vector<std::complex<double>> sum(frames);
    station.add(sum);
    return sum;
}

// Geometry: notches 1/delay apart: 2 ms 500 Hz, 7 ms 143 Hz. Two equal paths swing between 0 and
// sqrt(2).
TEST(Station, TwoPathNotches) {
    for (const auto& [delay_s, spacing_hz] : {std::pair{0.002, 500.0}, {0.007, 142.857}}) {
        std::vector<double> notches;
        std::vector<double> level;
        for (int hz = -1000; hz <= 1000; ++hz) {
            StationConfig config;
            config.carrier = true;
            config.offset_hz = hz;
            config.channel = {2, 0.0, delay_s};
            StationSignal station(config, {}, 1.0, 8000.0, 77);
            level.push_back(std::abs(run(station, 200).back()));
            // What the truth will say of it.
            ASSERT_NEAR(station.channel_gain_db(),
                        std::max(-120.0, 20.0 * std::log10(level.back())), 0.01);
        }
        for (std::size_t i = 1; i + 1 < level.size(); ++i) {
            if (level[i] < level[i - 1] && level[i] <= level[i + 1])
                notches.push_back(static_cast<double>(i));
        }
        ASSERT_GE(notches.size(), 3U);
        for (std::size_t i = 1; i < notches.size(); ++i) {
            EXPECT_NEAR(notches[i] - notches[i - 1], spacing_hz, 1.0);
        }
        EXPECT_NEAR(*std::max_element(level.begin(), level.end()), std::sqrt(2.0), 0.01);
        EXPECT_LT(*std::min_element(level.begin(), level.end()), 0.02);
    }
}

// The second path comes delay_s later: two steps, also where the delay is not whole samples.
TEST(Station, SecondPathIsLate) {
    StationConfig config;
    config.edges = EdgeShape::hard;
    config.channel = {2, 0.0, 0.00206};  // 16.48 samples
    StationSignal station(config, {{0.01, 0.02}}, 1.0, 8000.0, 5);
    const auto sum = run(station, 300);
    EXPECT_EQ(std::abs(sum[78]), 0.0);
    EXPECT_NEAR(std::abs(sum[90]), std::sqrt(0.5), 1e-9);
    EXPECT_NEAR(std::abs(sum[95]), std::sqrt(0.5), 1e-9);
    EXPECT_EQ(sum[100], sum[150]);  // both paths
    EXPECT_NEAR(std::abs(sum[170]), std::sqrt(0.5), 1e-9);
    EXPECT_EQ(std::abs(sum[180]), 0.0);
    // The late edge lies between samples 96 and 97, 0.48 of the way.
    const auto second = sum[170];
    EXPECT_NEAR(std::abs((sum[96] - sum[90]) / second) + std::abs((sum[97] - sum[90]) / second),
                1.02, 0.02);
}

// With fading the mean power is that of the steady signal.
TEST(Station, MeanPowerOverFading) {
    for (const int paths : {1, 2}) {
        StationConfig config;
        config.carrier = true;
        config.channel = {paths, 20.0, 0.001};
        StationSignal station(config, {}, 0.5, 8000.0, probe::test_seed());
        double mean = 0.0;
        const int blocks = 600;
        for (int i = 0; i < blocks; ++i) {
            for (const auto& value : run(station, 8000)) mean += std::norm(value) / 8000.0 / blocks;
        }
        // Some 12,000 independent values: 0.9 % of standard error for one path, less for two.
        EXPECT_NEAR(mean, 0.25, 0.25 * 0.045) << paths;
    }
}

TEST(Station, SilentWithoutMarks) {
    StationConfig config;
    config.channel = {2, 1.0, 0.002};
    StationSignal station(config, {}, 1.0, 8000.0, 5);
    for (const auto& value : run(station, 2000)) ASSERT_EQ(value, std::complex<double>{});
}

}  // namespace
}  // namespace skedlark::synth
