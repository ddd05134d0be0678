#include "dsp/bench/hum_figures.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;

struct Line {
    double hz;
    double amplitude;
};
struct Scene {
    std::vector<Line> audio{};
    double am_hz = 0.0, am = 0.0;  // depth
    double fm_hz = 0.0, fm = 0.0;  // deviation
    double tone = 0.0, pitch_hz = 712.0;
};
std::vector<float> made(const Scene& scene, std::uint64_t seed = 9) {
    const auto noise = test::band_noise(120000, 8000.0, 5.0, 3500.0, 0.001, seed);
    std::vector<float> out(noise.size());
    for (std::size_t n = 0; n < out.size(); ++n) {
        const double t = static_cast<double>(n) / 8000.0;
        double x = noise[n];
        for (const Line& line : scene.audio)
            x += line.amplitude * std::cos(kTwoPi * line.hz * t + 1.0);
        const double turn =
            scene.fm > 0.0 ? scene.fm / scene.fm_hz * std::sin(kTwoPi * scene.fm_hz * t) : 0.0;
        x += scene.tone * (1.0 + scene.am * std::cos(kTwoPi * scene.am_hz * t)) *
             std::cos(kTwoPi * scene.pitch_hz * t + turn);
        out[n] = static_cast<float>(x);
    }
    return out;
}
HumFigures measured(const Scene& scene) {
    const auto figures = measure_hum(made(scene), 8000.0, {});
    EXPECT_TRUE(figures) << (figures ? "" : figures.error().message);
    return figures ? *figures : HumFigures{};
}
bool hints_at(const HumFigures& figures, const std::string& part) {
    const auto hints = hum_hints(figures);
    return std::any_of(hints.begin(), hints.end(), [&](const std::string& hint) {
        return hint.find(part) != std::string::npos;
    });
}

TEST(HumFigures, LinesAndWhatTheyPointTo) {
    const HumFigures heater = measured({.audio = {{50.07, 0.02}, {100.14, 0.003}}});
    EXPECT_NEAR(heater.audio.supply_hz.value, 50.07, 0.003);
    EXPECT_NEAR(10.0 * std::log10(2.0 * heater.audio.power_of(1)), 20.0 * std::log10(0.02), 0.2);
    EXPECT_TRUE(hints_at(heater, "heater"));
    EXPECT_FALSE(hints_at(heater, "full-wave"));
    const HumFigures ripple = measured({.audio = {{120.1, 0.02}, {240.2, 0.004}}});
    EXPECT_NEAR(ripple.audio.supply_hz.value, 60.05, 0.003);
    EXPECT_TRUE(hints_at(ripple, "full-wave"));
    const HumFigures pick_up = measured({.audio = {{50.0, 0.01}, {150.0, 0.01}, {250.0, 0.006}}});
    EXPECT_TRUE(hints_at(pick_up, "pick-up"));
    const HumFigures vibrator =
        measured({.audio = {{114.0, 0.01}, {228.0, 0.008}, {342.0, 0.005}}});
    EXPECT_EQ(vibrator.kind, SupplyKind::vibrator);
    EXPECT_TRUE(hints_at(vibrator, "vibrator"));
    EXPECT_NEAR(vibrator.audio.supply_hz.value, 114.0, 0.01);
}

TEST(HumFigures, OnATone) {
    const HumFigures f = measured({.audio = {{50.03, 0.01}},
                                   .am_hz = 100.06,
                                   .am = 0.03,
                                   .fm_hz = 50.03,
                                   .fm = 0.5,
                                   .tone = 0.2});
    ASSERT_TRUE(f.pitch_hz);
    EXPECT_NEAR(std::sqrt(2.0 * f.am.power_of(2)), 0.03, 0.03 * 0.023);
    EXPECT_NEAR(std::sqrt(2.0 * f.fm.power_of(1)), 0.5, 0.5 * 0.023);
    EXPECT_NEAR(10.0 * std::log10(2.0 * f.audio.power_of(1)), -40.0, 0.2);
    EXPECT_FALSE(f.tone_on_multiple);
    const HumFigures on = measured({.audio = {{50.0, 0.01}}, .tone = 0.2, .pitch_hz = 700.1});
    EXPECT_TRUE(on.tone_on_multiple);
}

TEST(HumFigures, ModulationWithoutHumInTheAudio) {
    const HumFigures f = measured({.am_hz = 50.0, .am = 0.05, .tone = 0.2});
    EXPECT_EQ(f.kind, SupplyKind::mains);
    EXPECT_NEAR(std::sqrt(2.0 * f.am.power_of(1)), 0.05, 0.05 * 0.023);
}

TEST(HumFigures, NoneIsABound) {
    const HumFigures f = measured({});
    EXPECT_EQ(f.kind, SupplyKind::none);
    const Report report = hum_report(f, nullptr);
    ASSERT_FALSE(report.measurements.empty());
    EXPECT_EQ(report.measurements.front().name, "hum_dbfs");
    EXPECT_EQ(report.measurements.front().known, Known::at_most);
    EXPECT_LT(report.measurements.front().figure.value, -70.0);
    EXPECT_FALSE(measure_hum(std::vector<float>(16000), 8000.0, {}));
}

TEST(HumFigures, TheChainsOwnHumIsInTheUncertainty) {
    const HumFigures f = measured({.audio = {{50.0, 0.01}}});
    Chain chain;
    chain.name = "lead";
    chain.hum_dbfs = -60.0;  // 20 dB below: at worst a tenth more amplitude, 0.83 dB
    const Report report = hum_report(f, &chain);
    EXPECT_EQ(report.chain, "lead");
    for (const Measurement& m : report.measurements) {
        if (m.name == "hum_dbfs") {
            EXPECT_NEAR(m.figure.uncertainty_95, 0.83, 0.05);
        }
    }
}

}  // namespace
}  // namespace skedlark::bench
