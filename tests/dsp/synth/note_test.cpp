// Pitch is read from the phase itself: difference over 2 pi and the sample time.
#include "dsp/synth/note.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

constexpr double kRate = 8000.0;

std::vector<double> note_hz(const NoteConfig& config, double offset_hz,
                            const std::vector<Mark>& marks, std::size_t samples) {
    TransmitterNote note(config, offset_hz, marks, kRate, 3);
    std::vector<double> hz;
    double before = note.next().phase;
    for (std::size_t i = 0; i < samples; ++i) {
        const double phase = note.next().phase;
        hz.push_back((phase - before) * kRate / (2.0 * std::numbers::pi));
        before = phase;
    }
    return hz;
}

TEST(TransmitterNote, SteadyOffset) {
    for (const double value : note_hz({}, -37.5, {}, 100)) EXPECT_NEAR(value, -37.5, 1e-6);
}

// Definition: pulled by chirp_hz at each key-down, 1/e of it left after chirp_settle_s.
TEST(TransmitterNote, ChirpAtEachKeyDown) {
    NoteConfig config;
    config.chirp_hz = -80.0;
    config.chirp_settle_s = 0.02;
    const auto hz = note_hz(config, 10.0, {{0.1, 0.2}, {0.4, 0.5}}, 4000);
    EXPECT_NEAR(hz[790], 10.0, 1e-6);
    for (const std::size_t on : {800U, 3200U}) {
        EXPECT_NEAR(hz[on], -70.0, 1e-6);
        EXPECT_NEAR(hz[on + 160], 10.0 - 80.0 * std::exp(-1.0), 1e-6);
    }
    EXPECT_NEAR(hz[3190], 10.0, 0.01);
}

// Definition: full hum is the rectified sine, mean power 1: from 0 to sqrt(2), at twice the mains.
TEST(TransmitterNote, FullHum) {
    NoteConfig config;
    config.hum_depth = 1.0;
    config.hum_fm_hz = 20.0;
    TransmitterNote note(config, 0.0, {}, kRate, 3);
    double power = 0.0;
    double largest = 0.0;
    double smallest = 9.0;
    std::vector<float> hum;
    for (int i = 0; i < 8000; ++i) {
        const double value = note.next().hum;
        power += value * value / 8000.0;
        largest = std::max(largest, value);
        smallest = std::min(smallest, value);
        hum.push_back(static_cast<float>(value));
    }
    EXPECT_NEAR(power, 1.0, 1e-4);
    EXPECT_NEAR(largest, std::numbers::sqrt2, 1e-3);
    EXPECT_NEAR(smallest, 0.0, 1e-3);
    // Rectified sine of peak p: line at 2f 4 p / (3 pi), at 4f 13.98 dB below it (Fourier series).
    const double line = 2.0 * std::abs(probe::correlate(hum, 100.0, kRate));
    EXPECT_NEAR(line, std::numbers::sqrt2 * 0.42441, 1e-3);
    EXPECT_NEAR(20.0 * std::log10(2.0 * std::abs(probe::correlate(hum, 200.0, kRate)) / line),
                -13.98, 0.05);
    const auto hz = note_hz(config, 0.0, {}, 400);
    EXPECT_NEAR(*std::max_element(hz.begin(), hz.end()), 20.0, 0.1);
    EXPECT_NEAR(*std::min_element(hz.begin(), hz.end()), -20.0, 0.1);
}

TEST(TransmitterNote, HalfHumKeepsTheMeanPower) {
    NoteConfig config;
    config.hum_depth = 0.4;
    TransmitterNote note(config, 0.0, {}, kRate, 3);
    double power = 0.0;
    for (int i = 0; i < 8000; ++i) {
        const double value = note.next().hum;
        power += value * value / 8000.0;
    }
    EXPECT_NEAR(power, 1.0, 1e-4);
}

TEST(TransmitterNote, Warble) {
    NoteConfig config;
    config.warble_hz = 30.0;
    config.warble_rate_hz = 2.0;
    const auto hz = note_hz(config, 0.0, {}, 8000);
    EXPECT_NEAR(hz[1000], 30.0, 1e-3);  // a quarter of 0.5 s
    EXPECT_NEAR(hz[3000], -30.0, 1e-3);
    EXPECT_NEAR(hz[2000], 0.0, 0.1);
}

// Steps the beat to the end and returns its pitch at each whole multiple of step_s.
std::vector<double> beat_hz(const BeatConfig& config, double step_s, int steps,
                            std::uint64_t seed) {
    ReceiverBeat beat(config, kRate, seed);
    std::vector<double> hz;
    double before = beat.next();
    for (int i = 0; i < steps; ++i) {
        double first = 0.0;
        const auto frames = static_cast<int>(step_s * kRate);
        for (int n = 0; n < frames; ++n) {
            const double phase = beat.next();
            if (n == 0) {
                first = std::remainder(phase - before, 2.0 * std::numbers::pi) * kRate /
                        (2.0 * std::numbers::pi);
                EXPECT_NEAR(beat.pitch_hz(), first, 5.0);
            }
            before = phase;
        }
        hz.push_back(first);
    }
    return hz;
}

TEST(ReceiverBeat, DriftAndTurn) {
    BeatConfig config;
    config.drift_hz_per_s = -2.0;
    EXPECT_NEAR(beat_hz(config, 1.0, 31, 1)[30], 700.0 - 60.0, 1e-3);
    config.drift_span_hz = 20.0;
    const auto hz = beat_hz(config, 1.0, 41, 1);
    EXPECT_NEAR(hz[5], 690.0, 0.01);
    EXPECT_NEAR(hz[10], 680.0, 0.01);
    EXPECT_NEAR(hz[20], 700.0, 0.01);
    EXPECT_NEAR(hz[30], 720.0, 0.01);
    EXPECT_NEAR(hz[40], 700.0, 0.01);
}

// Definition: a random walk of wander_hz standard deviation each wander_step_s.
TEST(ReceiverBeat, WanderSteps) {
    BeatConfig config;
    config.wander_hz = 3.0;
    config.wander_step_s = 0.05;
    config.wander_limit_hz = 5000.0;
    const int steps = 3000;
    const auto hz = beat_hz(config, 0.05, steps, probe::test_seed());
    double square = 0.0;
    for (int i = 1; i < steps; ++i)
        square += (hz[i] - hz[i - 1]) * (hz[i] - hz[i - 1]) / (steps - 1);
    EXPECT_NEAR(std::sqrt(square), 3.0, 5.0 * 3.0 / std::sqrt(2.0 * steps));
    config.wander_limit_hz = 10.0;
    for (const double value : beat_hz(config, 0.05, steps, probe::test_seed())) {
        ASSERT_LE(std::abs(value - 700.0), 10.0 + 1e-6);
    }
}

TEST(ReceiverBeat, Knocks) {
    BeatConfig config;
    config.knocks = {{1.0, 170.0, 0.0}, {3.0, -50.0, 1.0}};
    const auto hz = beat_hz(config, 0.5, 20, 1);
    EXPECT_NEAR(hz[1], 700.0, 1e-6);
    EXPECT_NEAR(hz[2], 870.0, 1e-6);
    EXPECT_NEAR(hz[8], 870.0 - 50.0 * std::exp(-1.0), 0.01);
    EXPECT_NEAR(hz[19], 870.0, 0.1);
}

}  // namespace
}  // namespace skedlark::synth
