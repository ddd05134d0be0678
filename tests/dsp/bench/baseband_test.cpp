#include "dsp/bench/baseband.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

TEST(Baseband, ATonesAmplitudeAndPhase) {
    for (const double rate : {8000.0, 44100.0, 48000.0}) {
        const auto audio =
            test::made({.sample_rate_hz = rate, .seconds = 3.0, .drift_hz_per_s = 2.0});
        const Baseband base =
            to_baseband(audio, rate, {.frequency_hz = 700.0, .drift_hz_per_s = 2.0}, 62.5);
        EXPECT_NEAR(base.rate_hz, 250.0, 3.0);
        const auto edge = static_cast<std::size_t>(base.edge_samples);
        for (std::size_t k = edge; k + edge < base.samples.size(); ++k) {
            EXPECT_NEAR(std::abs(base.samples[k] - std::polar(0.3, 0.4)), 0.0, 2e-4);
        }
        EXPECT_NEAR(base.time_s(0), -1.5, 1e-3);
    }
}

TEST(Baseband, FlatInsideAndClosedOutside) {
    const auto level = [](double off_hz) {
        const auto audio = test::made({.seconds = 3.0, .pitch_hz = 700.0 + off_hz});
        const Baseband base = to_baseband(audio, 8000.0, {.frequency_hz = 700.0}, 62.5);
        return std::abs(base.samples[base.samples.size() / 2]) / 0.3;
    };
    for (const double off : {-62.0, -30.0, 5.0, 60.0}) EXPECT_NEAR(level(off), 1.0, 0.01) << off;
    for (const double off : {-200.0, 190.0, 250.0, 400.0}) EXPECT_LT(level(off), 1e-3) << off;
}

}  // namespace
}  // namespace skedlark::bench
