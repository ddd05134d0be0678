#include "dsp/bench/drift_reading.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

PitchCurve curve_of(int seconds, double sd_hz, std::uint64_t seed,
                    const std::function<double(double)>& pitch) {
    PitchCurve curve;
    std::mt19937_64 random(seed);
    std::normal_distribution<double> noise(0.0, 1.0);
    for (int n = 0; n < seconds; ++n) {
        curve.add(
            {ToneState::one, pitch(n + 0.5) + sd_hz * noise(random), sd_hz, 0.0, 20.0, 0.1, 0.0});
    }
    return curve;
}

TEST(DriftReading, SettlingOfAnExponential) {
    // Closed form: 500 exp(-t/200) spans 500 exp(-t/200) (1 - exp(-600/200)) in the 600 s from t on: 20 Hz from
    // t = 200 ln(500 (1 - e^-3) / 20) = 633.5 s on.
    const double exact = 200.0 * std::log(500.0 * (1.0 - std::exp(-3.0)) / 20.0);
    const auto curve =
        curve_of(3600, 0.01, 1, [](double t) { return 700.0 + 500.0 * std::exp(-t / 200.0); });
    const auto settled = settled_from(curve, 20.0, 600.0);
    ASSERT_TRUE(settled.has_value());
    EXPECT_NEAR(settled->value, exact, 2.0);
    EXPECT_LE(std::abs(settled->value - exact), settled->uncertainty_95);
    EXPECT_FALSE(settled_from(curve, 0.001, 600.0).has_value());
    EXPECT_FALSE(settled_from(curve, 20.0, 4000.0).has_value());
    // In the last half, from 1800 s on.
    const Figure most = greatest_span(curve, 600.0, 1800.0);
    EXPECT_NEAR(most.value, 500.0 * std::exp(-9.0) * (1.0 - std::exp(-3.0)),
                most.uncertainty_95 + 0.01);
}

TEST(DriftReading, SupplyStepsOnADriftingPitch) {
    const std::uint64_t seed = support::test_seed(7);
    int inside = 0, count = 0;
    for (int run = 0; run < 300; ++run) {
        const auto curve = curve_of(180, 0.05, support::seed_for_part(seed, run), [](double t) {
            return 700.0 + 0.1 * t + (t > 60.0 && t < 120.0 ? -4.0 : 0.0);
        });
        const auto effects = supply_effects(curve, {{60.0, Supply::low}, {120.0, Supply::normal}});
        ASSERT_EQ(effects.size(), 2U);
        for (const auto& e : effects) {
            ASSERT_TRUE(e.prompt_hz.has_value());
            const double truth = e.mark.supply == Supply::low ? -4.0 : 4.0;
            ++count;
            if (std::abs(e.prompt_hz->value - truth) <= e.prompt_hz->uncertainty_95) ++inside;
        }
        EXPECT_NEAR(effects[0].settled_hz->value, -4.0 + 6.0, 0.3);  // with a minute of drift
    }
    EXPECT_GT(inside / static_cast<double>(count), 0.92);
    EXPECT_LT(inside / static_cast<double>(count), 0.98);
}

TEST(DriftReading, RetraceComparesLikeTimesSinceSwitchingOn) {
    const auto pitch = [](double t) {
        const double on = t < 600.0 ? t : t - 700.0;
        return 700.0 + 100.0 * std::exp(-on / 100.0) + (t > 600.0 ? 2.5 : 0.0);
    };
    const auto found = retraces(curve_of(1200, 0.01, 1, pitch), {{600.0, 700.0}});
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found[0].after_on_s, 500.0);
    EXPECT_NEAR(found[0].change_hz.value, 2.5, found[0].change_hz.uncertainty_95 + 0.02);
}

TEST(DriftReading, MarksOutOfOrderAreNamed) {
    EXPECT_FALSE(check_marks({{50.0, Supply::low}, {40.0, Supply::high}}, {}, 100.0).ok());
    EXPECT_FALSE(check_marks({{500.0, Supply::low}}, {}, 100.0).ok());
    EXPECT_FALSE(check_marks({}, {{50.0, 40.0}}, 100.0).ok());
    EXPECT_FALSE(check_marks({{std::nan(""), Supply::low}}, {}, 100.0).ok());
    EXPECT_TRUE(check_marks({{40.0, Supply::low}}, {{50.0, 60.0}}, 100.0).ok());
}

TEST(DriftReading, AMeanNeedsSomethingToBeMeanOf) {
    PitchCurve curve;
    for (int n = 0; n < 60; ++n) curve.add_none();
    EXPECT_FALSE(mean_pitch(curve, 0.0, 60.0).has_value());
}

}  // namespace
}  // namespace skedlark::bench
