#include "dsp/synth/materials.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/synth/scene.h"
#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

TEST(Materials, NoneHoldsKeying) {
    for (const SceneConfig& config : {noise_only(5, 1), static_only(5, 6, 1), hum_only(5, 50, 1),
                                      steady_carrier(5, 0, 1), warbling_carrier(5, 0, 30, 1, 1)}) {
        const auto scene = make_scene(config);
        ASSERT_TRUE(scene) << scene.error().message;
        EXPECT_EQ(scene->samples.size(), 40000U);
        EXPECT_TRUE(scene->truth.wanted.text.empty());
        EXPECT_TRUE(scene->truth.wanted.marks.empty());
        EXPECT_GT(probe::mean_square(scene->samples), 1e-6);
    }
}

TEST(Materials, CarrierIsSteadyAndHumIsThere) {
    const auto carrier = make_scene(steady_carrier(10, 20, probe::test_seed()));
    ASSERT_TRUE(carrier);
    EXPECT_NEAR(
        20.0 * std::log10(2.0 * std::abs(probe::correlate(carrier->samples, 700.0, 8000.0))), -30.0,
        0.1);
    const auto hum = make_scene(hum_only(10, 60, probe::test_seed()));
    ASSERT_TRUE(hum);
    EXPECT_NEAR(20.0 * std::log10(2.0 * std::abs(probe::correlate(hum->samples, 120.0, 8000.0))),
                -10.0, 0.1);
    EXPECT_LT(std::abs(probe::correlate(hum->samples, 700.0, 8000.0)), 1e-3);
}

TEST(Materials, StaticHasItsCrashes) {
    const auto scene = make_scene(static_only(100, 6, probe::test_seed()));
    ASSERT_TRUE(scene);
    EXPECT_NEAR(static_cast<double>(scene->truth.crashes.size()), 600.0, 5.0 * std::sqrt(600.0));
}

}  // namespace
}  // namespace skedlark::synth
