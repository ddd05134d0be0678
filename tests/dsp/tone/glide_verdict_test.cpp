#include "dsp/tone/glide_verdict.h"

#include <gtest/gtest.h>

#include "tests/dsp/tone/glide_signal.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

GlideTrack true_track(const GlideSignal& signal, double off_hz = 0.0) {
    std::vector<GlideMeasurement> measured;
    for (double at_s = 0.0; at_s < signal.seconds; at_s += 0.05) {
        const double pitch_hz = signal.rate_hz_per_s * (signal.zero_beat_s - at_s);
        if (std::abs(pitch_hz) > 200.0 && std::abs(pitch_hz) < 3000.0)
            measured.push_back({at_s, pitch_hz + off_hz, 3.0});
    }
    return GlideTrack(measured, signal.rate_hz_per_s);
}

GlideVerdict judge(const GlideSignal& signal, const GlideTrack& track, std::uint64_t seed) {
    std::mt19937_64 random(support::test_seed(seed));
    const auto audio = make_glide(signal, random);
    const double density = noise_density(signal);
    return judge_glide({audio, 0.0, 200.0, 3000.0, [density](double, double) { return density; }},
                       track);
}

// Key-down SNR in 2500 Hz: half the amplitude squared over the density times 2500 Hz, by its
// definition.
double snr_db(const GlideSignal& signal) {
    return 10.0 * std::log10(0.5 * signal.amplitude * signal.amplitude /
                             (noise_density(signal) * kReferenceBandwidthHz));
}

TEST(GlideVerdict, KeyedSteadyAndTooWeakToTell) {
    GlideSignal signal;
    for (const double amplitude : {0.02, 0.05, 0.5}) {
        signal.amplitude = amplitude;
        signal.key = {};
        const auto steady = judge(signal, true_track(signal), 71);
        EXPECT_EQ(steady.keyed, std::optional(false)) << amplitude;
        EXPECT_NEAR(steady.snr_2500hz_db, snr_db(signal), 1.5);
        signal.key = dots;
        const auto keyed = judge(signal, true_track(signal), 73);
        EXPECT_EQ(keyed.keyed, std::optional(true)) << amplitude;
        EXPECT_NEAR(keyed.snr_2500hz_db, snr_db(signal), 3.0);
        EXPECT_NEAR(keyed.share, 0.5, 0.2);
        EXPECT_GT(keyed.evidence, 20.0);
    }
    signal.amplitude = 0.002;
    EXPECT_EQ(judge(signal, true_track(signal), 75).keyed, std::nullopt);
}

TEST(GlideVerdict, MeasuresWhereThePitchReallyRan) {
    GlideSignal signal;
    signal.key = dots;
    const auto verdict = judge(signal, true_track(signal, 18.0), 77);
    ASSERT_GT(verdict.measured.size(), 20U);
    double off_hz = 0.0;
    for (const auto& one : verdict.measured) {
        const double true_hz = signal.rate_hz_per_s * (signal.zero_beat_s - one.at_s);
        off_hz += (one.pitch_hz - true_hz) / static_cast<double>(verdict.measured.size());
    }
    EXPECT_NEAR(off_hz, 0.0, 5.0);
}

TEST(GlideVerdict, TooLittleIsUnknown) {
    GlideSignal signal;
    const auto track = true_track(signal);
    const std::vector<float> nothing;
    const auto verdict =
        judge_glide({nothing, 0.0, 200.0, 3000.0, [](double, double) { return 1.0; }}, track);
    EXPECT_EQ(verdict.keyed, std::nullopt);
    EXPECT_TRUE(verdict.measured.empty());
}

}  // namespace
}  // namespace skedlark::tone
