#include "dsp/bench/tone_figures.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/dsp/bench/test_tone.h"
#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

using test::made;
using test::TestTone;

ToneFigures measured(const TestTone& tone) {
    const auto figures = measure_tone(made(tone), tone.sample_rate_hz);
    EXPECT_TRUE(figures) << (figures ? "" : figures.error().message);
    return figures ? *figures : ToneFigures{};
}

// Amplitude 1, second harmonic 0.4, noise variance 0.01: SNR 16.99, THD -7.96, SINAD 7.447 dB (worked
// example of a MathWorks page, signal verified there, figures computed). Scaled down, so as not to clip.
TEST(ToneFigures, WorkedExample) {
    const TestTone tone{.amplitude = 0.4, .harmonics = {{2, 0.4, 0.0}}, .snr_db = 16.9897};
    const ToneFigures f = measured(tone);
    EXPECT_NEAR(f.snr_db.value, 16.99, 0.15);
    EXPECT_NEAR(f.thd_db.figure.value, -7.96, 0.03);
    EXPECT_NEAR(f.sinad_db.value, 7.447 + 0.717, 0.03);
}

// 1 kHz with harmonics of 8e-4, 2e-5 and 8e-6: 0.0800 % (worked example, MathWorks).
TEST(ToneFigures, WorkedExampleOfDistortion) {
    const TestTone tone{.sample_rate_hz = 48000.0,
                        .amplitude = 0.9,
                        .pitch_hz = 1000.0,
                        .harmonics = {{2, 8e-4, 0.1}, {3, 2e-5, 0.2}, {4, 8e-6, 0.3}}};
    const ToneFigures f = measured(tone);
    EXPECT_NEAR(f.thd_percent.figure.value, 0.0800, 0.0005);
    EXPECT_NEAR(f.thd_db.figure.value, -61.94, 0.05);
}

TEST(ToneFigures, SinadFromFullNoiseToFullQuieting) {
    const std::uint64_t seed = support::test_seed(77);
    for (const double snr_db : {0.0, 3.0, 12.0, 25.0, 40.0}) {
        for (const double drift : {0.0, 0.2}) {
            TestTone tone{
                .pitch_hz = 711.3, .drift_hz_per_s = drift, .snr_db = snr_db, .seed = seed};
            const ToneFigures f = measured(tone);
            EXPECT_NEAR(f.sinad_db.value, true_sinad_db(tone), 0.15) << snr_db;
            EXPECT_NEAR(f.sinad_steady_db.value, true_sinad_db(tone), 0.15) << snr_db;
            EXPECT_NEAR(f.snr_db.value, snr_db, 0.2);
            EXPECT_NEAR(f.level_dbfs.value, 20.0 * std::log10(0.3), 0.15);
            EXPECT_LT(f.sinad_db.uncertainty_95, 0.2);
            EXPECT_GT(f.sinad_db.uncertainty_95, 0.01);
        }
    }
}

TEST(ToneFigures, ShortAudioIsLessSure) {
    const ToneFigures ten = measured({.seconds = 10.0, .snr_db = 20.0});
    const ToneFigures three = measured({.seconds = 3.0, .snr_db = 20.0});
    EXPECT_GT(three.sinad_db.uncertainty_95, 1.3 * ten.sinad_db.uncertainty_95);
}

TEST(ToneFigures, DistortionThatNoiseHidesIsABound) {
    const TestTone tone{.harmonics = {{2, 1e-4, 0.3}}, .snr_db = 20.0};
    const ToneFigures f = measured(tone);
    EXPECT_EQ(f.thd_db.known, Known::at_most);
    EXPECT_GT(f.thd_db.figure.value, -80.0);
    EXPECT_LT(f.thd_db.figure.value, -40.0);
}

// The same audio at another rate and level: the same ratios.
TEST(ToneFigures, RateAndLevelDoNotCount) {
    TestTone tone{.harmonics = {{2, 0.01, 0.4}}, .snr_db = 30.0};
    const ToneFigures low = measured(tone);
    tone.amplitude = 0.003;
    const ToneFigures quiet = measured(tone);
    EXPECT_NEAR(quiet.sinad_db.value, low.sinad_db.value, 0.002);
    tone.sample_rate_hz = 44100.0;
    const ToneFigures high = measured(tone);
    EXPECT_NEAR(high.sinad_db.value, true_sinad_db(tone), 0.15);
    EXPECT_NEAR(high.thd_db.figure.value, -40.0, 0.2);
}

TEST(ToneFigures, ClippingIsNoticed) {
    std::vector<float> cut = made({.amplitude = 0.5, .snr_db = 50.0});
    for (float& x : cut) x = std::clamp(x, -0.4F, 0.4F);
    const auto flat = measure_tone(cut, 8000.0);
    ASSERT_TRUE(flat);
    EXPECT_TRUE(flat->clipping.flat_tops);
    const Report report = tone_report(*flat, {});
    EXPECT_TRUE(std::any_of(report.remarks.begin(), report.remarks.end(), [](const auto& remark) {
        return remark.find("flat") != std::string::npos;
    }));
    for (float& x : cut) x = std::clamp(2.5F * x, -1.0F, 1.0F);
    const auto full = measure_tone(cut, 8000.0);
    ASSERT_FALSE(full);
    EXPECT_NE(full.error().message.find("clips"), std::string::npos);
}

// A tone that meets the same few samples again and again is not clipped.
TEST(ToneFigures, RoundNumbersAreNotClipping) {
    for (const double pitch : {1000.0, 2000.0 / 3.0, 800.0, 500.0}) {
        for (const double amplitude : {0.3, 0.995}) {
            const ToneFigures f =
                measured({.amplitude = amplitude, .pitch_hz = pitch, .phase_rad = 0.0});
            EXPECT_FALSE(f.clipping.flat_tops) << pitch;
            EXPECT_NEAR(f.level_dbfs.value, 20.0 * std::log10(amplitude), 0.001);
        }
    }
}

TEST(ToneFigures, ReportNamesAreThoseWithLimits) {
    const ToneFigures f = measured({.harmonics = {{2, 0.01, 0.4}}, .snr_db = 30.0, .seed = 3});
    EXPECT_GE(tone_report(f, {}).measurements.size(), 10U);
}

}  // namespace
}  // namespace skedlark::bench
