#include "dsp/dial/detection.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace skedlark::dial {
namespace {

constexpr double kPassS = 600.0;
constexpr double kPassbandHz = 2700.0;
constexpr double kDitS = 0.06;  // 20 wpm: 1.2 s / 20

double rate_for_looks(double looks) { return 2.0 * kPassbandHz / (looks * kDitS); }

DetectionModel model_with(double false_alarm) {
    return *DetectionModel::square_law({.passband_hz = kPassbandHz,
                                        .speed_wpm = 20.0,
                                        .false_alarms_per_pass = false_alarm * kPassS * kPassbandHz,
                                        .pass_s = kPassS,
                                        .loss_db = 0.0});
}

// Mean energy of a look over the noise density, as key-down SNR in 2500 Hz; key down 22 of 50 units.
double snr_2500hz_db(double look_snr) {
    return 10.0 * std::log10(look_snr / (2500.0 * 0.44 * kDitS));
}

TEST(Detection, AgainstAlbersheim) {
    // Albersheim, Proc. IEEE 69 (1981) 839: within 0.2 dB of the exact envelope detector for 1e-7 to
    // 1e-3 and 0.1 to 0.9; a square-law detector is up to 0.2 dB from that (Robertson, Bell Syst.
    // Tech. J. 46 (1967) 755-774).
    for (const double false_alarm : {1e-7, 1e-6}) {
        for (const double detected : {0.5, 0.9}) {
            for (const double looks : {1.0, 10.0, 100.0, 1000.0}) {
                const double a = std::log(0.62 / false_alarm);
                const double b = std::log(detected / (1.0 - detected));
                const double look_db =
                    -5.0 * std::log10(looks) +
                    (6.2 + 4.54 / std::sqrt(looks + 0.44)) * std::log10(a + 0.12 * a * b + 1.7 * b);
                const double level = snr_2500hz_db(std::pow(10.0, look_db / 10.0));
                const DetectionModel model = model_with(false_alarm);
                const double rate = rate_for_looks(looks);
                EXPECT_LT(model.chance(rate, level - 0.4), detected) << looks << " looks";
                EXPECT_GT(model.chance(rate, level + 0.4), detected) << looks << " looks";
            }
        }
    }
}

// Generalised Marcum function by plain sums over its density.
double marcum_q(int order, double a, double b) {
    constexpr int kSteps = 200000;
    const double end = std::max(a, b) + 12.0;
    const double step = (end - b) / kSteps;
    double sum = 0.0;
    for (int i = 0; i < kSteps; ++i) {
        const double x = b + (i + 0.5) * step;
        sum += step * x * std::pow(x / a, order - 1) * std::exp(-0.5 * (x * x + a * a)) *
               std::cyl_bessel_i(order - 1.0, a * x);
    }
    return sum;
}

TEST(Detection, ExactForOneAndFourLooks) {
    // One look: threshold from exp(-t) = false alarm; four: from the Poisson sum exp(-t) (1 + t +
    // t^2/2 + t^3/6), by halving.
    const double false_alarm = 5e-6;
    for (const int looks : {1, 4}) {
        double low = 0.0;
        double high = 60.0;
        for (int n = 0; n < 100; ++n) {
            const double t = 0.5 * (low + high);
            const double tail =
                std::exp(-t) * (looks == 1 ? 1.0 : 1.0 + t + t * t / 2.0 + t * t * t / 6.0);
            (tail > false_alarm ? low : high) = t;
        }
        for (const double energy : {6.0, 12.0, 20.0}) {
            const double exact = marcum_q(looks, std::sqrt(2.0 * energy), std::sqrt(2.0 * low));
            EXPECT_NEAR(model_with(false_alarm)
                            .chance(rate_for_looks(looks), snr_2500hz_db(energy / looks)),
                        exact, 1e-5)
                << looks << " looks, energy " << energy;
        }
    }
}

TEST(Detection, RisesWithLevelFallsWithRateAndSilenceGivesTheFalseAlarms) {
    const DetectionModel model = *DetectionModel::square_law({});
    for (double rate = 30.0; rate < 15000.0; rate *= 1.5) {
        for (double level = -40.0; level < 10.0; level += 1.0) {
            EXPECT_LE(model.chance(rate, level), model.chance(rate, level + 1.0) + 1e-9);
            EXPECT_GE(model.chance(rate, level) + 1e-9, model.chance(1.5 * rate, level));
        }
    }
    EXPECT_LT(model.chance(1000.0, -60.0), 1e-4);
    EXPECT_EQ(model.chance(100.0, 40.0), 1.0);
}

// What a simple tracker told only the nominal rate was measured to need for 90 % at one false alarm
// in ten passes of ten minutes: -16.2 / -14.1 / -10.2 dB at 1 / 2 / 5 kHz/s.
TEST(Detection, TheDefaultLossStandsForASimpleTracker) {
    const DetectionModel model = *DetectionModel::square_law({.speed_wpm = 20.0});
    EXPECT_NEAR(model.chance(1000.0, -16.2), 0.9, 0.05);
    EXPECT_NEAR(model.chance(2000.0, -14.1), 0.9, 0.07);
}

TEST(Detection, MeasuredCurvesAreInterpolatedAndClaimNothingBeyond) {
    const auto model = DetectionModel::measured({{1000.0, -16.0, 0.6},
                                                 {1000.0, -14.0, 0.5},  // spread: pooled to 0.55
                                                 {1000.0, -18.0, 0.1},
                                                 {4000.0, -14.0, 0.2},
                                                 {4000.0, -10.0, 0.8}});
    ASSERT_TRUE(model.ok()) << model.error().message;
    EXPECT_NEAR(model->chance(1000.0, -17.0), 0.325, 1e-12);
    EXPECT_NEAR(model->chance(1000.0, -14.5), 0.55, 1e-12);
    EXPECT_NEAR(model->chance(500.0, 0.0), 0.55, 1e-12);
    EXPECT_NEAR(model->chance(2000.0, -14.0), 0.375, 1e-12);  // half way in the logarithm
    EXPECT_EQ(model->chance(1000.0, -18.1), 0.0);
    EXPECT_EQ(model->chance(4100.0, 0.0), 0.0);
}

TEST(Detection, BadSettingsAreNamed) {
    EXPECT_FALSE(DetectionModel::square_law({.passband_hz = std::nan("")}).ok());
    EXPECT_FALSE(DetectionModel::square_law({.loss_db = -1.0}).ok());
    EXPECT_FALSE(DetectionModel::measured({}).ok());
    EXPECT_FALSE(DetectionModel::measured({{1000.0, -16.0, 1.2}}).ok());
    EXPECT_FALSE(DetectionModel::measured({{1000.0, -16.0, 0.5}, {1000.0, -16.0, 0.6}}).ok());
}

}  // namespace
}  // namespace skedlark::dial
