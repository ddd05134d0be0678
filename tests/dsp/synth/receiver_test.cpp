#include "dsp/synth/receiver.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

constexpr double kRate = 16000.0;

std::vector<double> sine(double hz, double amplitude, double seconds) {
    std::vector<double> x(static_cast<std::size_t>(seconds * kRate));
    for (std::size_t n = 0; n < x.size(); ++n) {
        x[n] = amplitude * std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(n) / kRate);
    }
    return x;
}

double line(std::span<const double> x, double hz) {
    const std::vector<float> samples(x.begin(), x.end());
    return 2.0 * std::abs(probe::correlate(samples, hz, kRate));
}

double response_db(const FilterConfig& filter, double hz) {
    ReceiverConfig config;
    config.filter = filter;
    Receiver receiver(config, {}, 1.0, kRate);
    auto x = sine(hz, 1.0, 1.5);
    receiver.process(x);
    return 20.0 * std::log10(line(std::span(x).subspan(8000, 16000), hz));
}

TEST(Receiver, Flat) {
    EXPECT_NEAR(response_db({}, 50.0), 0.0, 1e-3);
    EXPECT_NEAR(response_db({}, 7000.0), 0.0, 1e-3);
}

// Butterworth: -3.01 dB at the corners, 12 dB an octave beyond (theory).
TEST(Receiver, Band) {
    FilterConfig filter;
    filter.kind = FilterKind::band;
    EXPECT_NEAR(response_db(filter, 300.0), -3.01, 0.05);
    EXPECT_NEAR(response_db(filter, 3000.0), -3.01, 0.05);
    EXPECT_NEAR(response_db(filter, 1000.0), 0.0, 0.1);
    EXPECT_NEAR(response_db(filter, 75.0), -24.1, 0.2);
}

// A single tuned circuit: 1 at its centre, -3.01 dB at the edges, -10 dB or so three half-widths
// out.
TEST(Receiver, Peak) {
    FilterConfig filter;
    filter.kind = FilterKind::peak;
    filter.centre_hz = 700.0;
    filter.width_hz = 200.0;
    EXPECT_NEAR(response_db(filter, 700.0), 0.0, 0.01);
    // Edges of a tuned circuit lie geometrically about its centre: f1 f2 = 700^2, f2 - f1 = 200.
    const double root = std::sqrt(700.0 * 700.0 + 100.0 * 100.0);
    EXPECT_NEAR(response_db(filter, root - 100.0), -3.01, 0.05);
    EXPECT_NEAR(response_db(filter, root + 100.0), -3.01, 0.05);
}

TEST(Receiver, ValveIsSixDecibelsDownAtHalfItsWidth) {
    FilterConfig filter;
    filter.kind = FilterKind::valve;
    filter.width_hz = 4000.0;
    EXPECT_NEAR(response_db(filter, 2000.0), -6.02, 0.05);
    // Two tuned circuits: 1 / (1 + 1/16) in amplitude at a quarter of that.
    EXPECT_NEAR(response_db(filter, 500.0), 20.0 * std::log10(16.0 / 17.0), 0.25);
    EXPECT_LT(response_db(filter, 30.0), -10.0);
}

// Full-wave supply: 4f 13.98, 6f 21.34, 8f 26.44 dB below 2f (Fourier series of the rectified
// sine).
TEST(Receiver, MainsLines) {
    for (const double mains_hz : {50.0, 60.0}) {
        ReceiverConfig config;
        config.mains = {true, 6.0, mains_hz};
        Receiver receiver(config, {}, 0.1, kRate);
        std::vector<double> x(16000, 0.0);
        receiver.process(x);
        const double strongest = line(x, 2.0 * mains_hz);
        EXPECT_NEAR(20.0 * std::log10(strongest / 0.1), 6.0, 0.01);
        for (const auto& [multiple, db] : {std::pair{4.0, -13.98}, {6.0, -21.34}, {8.0, -26.44}}) {
            EXPECT_NEAR(20.0 * std::log10(line(x, multiple * mains_hz) / strongest), db, 0.02);
        }
        EXPECT_LT(line(x, 5.0 * mains_hz), 1e-6);
    }
}

OwnKeyed own_keyed(OwnSendingMode mode) {
    OwnKeyed own;
    own.config.mode = mode;
    own.config.level_db = 12.0;
    own.config.pitch_hz = 800.0;
    own.keyed.marks = {{0.5, 0.6}, {0.8, 1.0}};
    own.from_s = 0.5;
    own.to_s = 1.0;
    return own;
}

std::vector<double> with_own(OwnSendingMode mode) {
    Receiver receiver({}, {own_keyed(mode)}, 0.1, kRate);
    auto x = sine(300.0, 0.1, 2.0);
    receiver.process(x);
    return x;
}

std::span<const double> part(const std::vector<double>& x, double from_s, double to_s) {
    const auto from = static_cast<std::size_t>(from_s * kRate);
    return std::span(x).subspan(from, static_cast<std::size_t>(to_s * kRate) - from);
}

TEST(Receiver, OwnSendingMuted) {
    const auto x = with_own(OwnSendingMode::muted);
    EXPECT_NEAR(line(part(x, 0.2, 0.4), 300.0), 0.1, 1e-4);
    for (const double value : part(x, 0.51, 0.99)) ASSERT_NEAR(value, 0.0, 1e-9);
    EXPECT_NEAR(line(part(x, 1.1, 1.5), 300.0), 0.1, 1e-4);
}

TEST(Receiver, OwnSidetone) {
    const auto x = with_own(OwnSendingMode::sidetone);
    EXPECT_NEAR(line(part(x, 0.52, 0.58), 800.0), 0.1 * 3.981, 0.01);
    for (const double value : part(x, 0.62, 0.78)) ASSERT_NEAR(value, 0.0, 1e-9);
    EXPECT_NEAR(line(part(x, 1.1, 1.5), 300.0), 0.1, 1e-4);
    EXPECT_NEAR(line(part(x, 1.1, 1.5), 800.0), 0.0, 1e-4);
}

// Blocked by each mark; the gain comes back with its time constant of 0.1 s.
TEST(Receiver, OwnSendingOverloaded) {
    const auto x = with_own(OwnSendingMode::overloaded);
    EXPECT_NEAR(line(part(x, 0.52, 0.58), 800.0), 0.1 * 3.981, 0.01);
    EXPECT_NEAR(line(part(x, 0.52, 0.58), 300.0), 0.0, 0.003);
    const double halfway = line(part(x, 0.69, 0.71), 300.0);
    EXPECT_NEAR(halfway, 0.1 * (1.0 - std::exp(-1.0)), 0.01);
    EXPECT_NEAR(line(part(x, 1.8, 2.0), 300.0), 0.1, 1e-3);
}

TEST(Receiver, LimiterGainAndDc) {
    ReceiverConfig config;
    config.limiter = true;
    config.limiter_dbfs = -20.0;
    config.gain_steps = {{0.5, 20.0}, {1.0, -20.0}};
    config.dc = 0.25;
    Receiver receiver(config, {}, 1.0, kRate);
    auto x = sine(500.0, 0.05, 1.5);
    receiver.process(x);
    double mean = 0.0;
    for (const double value : part(x, 1.0, 1.5)) mean += value / 8000.0;
    EXPECT_NEAR(mean, 0.25, 1e-6);
    for (const double value : x) ASSERT_LE(std::abs(value - 0.25), 0.1);
    EXPECT_NEAR(line(part(x, 1.1, 1.5), 500.0), 0.005, 1e-5);
    EXPECT_GT(line(part(x, 0.6, 1.0), 500.0), 0.1);  // a limited sine is nearly a square
}

}  // namespace
}  // namespace skedlark::synth
