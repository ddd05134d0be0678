#include "dsp/bench/chain.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

using test::made;
using test::TestTone;

const Measurement* find(const Report& report, const std::string& name) {
    const auto found = std::find_if(report.measurements.begin(), report.measurements.end(),
                                    [&](const Measurement& m) { return m.name == name; });
    return found == report.measurements.end() ? nullptr : &*found;
}

TEST(Chain, AClosedInputGivesNoise) {
    // rms 0.001 of full scale: -57 dBFS, where a sine of peak 1 is 0.
    const auto noise = test::band_noise(80000, 8000.0, 100.0, 3900.0, 0.001, 5);
    const std::vector<float> audio(noise.begin(), noise.end());
    const auto measured = measure_chain(audio, 8000.0, {.full_scale_volts = Figure{2.0, 0.1}});
    ASSERT_TRUE(measured) << measured.error().message;
    EXPECT_NEAR(measured->chain.noise_dbfs.value, -60.0 + 3.01, 0.15);
    EXPECT_FALSE(measured->chain.thd_percent);
    // 0.001 of 2 V.
    const Measurement* volts = find(measured->report, "noise_microvolt");
    ASSERT_NE(volts, nullptr);
    EXPECT_NEAR(volts->figure.value, 2000.0, 30.0);
    EXPECT_NEAR(volts->figure.uncertainty_95, 100.0, 15.0);
}

TEST(Chain, AToneGivesDistortionAndClock) {
    // A clock 40 ppm fast takes more samples to each period: 1000 Hz seems 999.96.
    const TestTone tone{
        .pitch_hz = 1000.0 / (1.0 + 40e-6), .harmonics = {{2, 0.002, 0.2}}, .snr_db = 60.0};
    const auto measured =
        measure_chain(made(tone), 8000.0, {.reference_hz = 1000.0, .reference_ppm = 2.0});
    ASSERT_TRUE(measured) << measured.error().message;
    ASSERT_TRUE(measured->chain.clock_ppm);
    EXPECT_NEAR(measured->chain.clock_ppm->value, 40.0, 0.05);
    EXPECT_NEAR(measured->chain.clock_ppm->uncertainty_95, 2.0, 0.1);
    EXPECT_NEAR(*measured->chain.thd_percent, 0.2, 0.01);
    const Figure pitch = true_pitch({999.96, 0.001}, &measured->chain);
    EXPECT_NEAR(pitch.value, 1000.0, 1e-3);
    EXPECT_NEAR(pitch.uncertainty_95, 0.0022, 0.0003);
    EXPECT_NEAR(true_pitch({1000.0, 0.0}, nullptr).uncertainty_95, 0.1, 1e-9);
}

TEST(Chain, WhatCannotBeIsSaid) {
    EXPECT_FALSE(measure_chain(std::vector<float>(80000), 8000.0, {}));
    EXPECT_FALSE(measure_chain(made({.seconds = 1.0}), 8000.0, {}));
    EXPECT_FALSE(measure_chain(made({.pitch_hz = 1000.0}), 8000.0,
                               {.tone = {.pitch_hz = 1010.0}, .reference_hz = 1010.0}));
}

TEST(Chain, FileThereAndBack) {
    Chain chain;
    chain.name = "lead \"A\"";
    chain.sample_rate_hz = 44100.0;
    chain.noise_dbfs = {-81.25, 0.03};
    chain.band = {60.0, 4500.0};
    chain.hum_dbfs = -77.5;
    chain.clock_ppm = Figure{-12.5, 1.5};
    const auto back = parse_chain(chain_toml(chain), "lead.toml");
    ASSERT_TRUE(back) << back.error().message;
    EXPECT_EQ(back->name, "lead  A ");
    EXPECT_DOUBLE_EQ(back->noise_dbfs.value, -81.25);
    EXPECT_DOUBLE_EQ(back->noise_dbfs.uncertainty_95, 0.03);
    EXPECT_DOUBLE_EQ(*back->hum_dbfs, -77.5);
    EXPECT_DOUBLE_EQ(back->clock_ppm->value, -12.5);
    EXPECT_FALSE(back->thd_percent);
    const auto wrong = parse_chain("format = 'skedlark-chain'\nversion = 1\nnoise = 3\n", "x.toml");
    ASSERT_FALSE(wrong);
    EXPECT_NE(wrong.error().message.find("x.toml"), std::string::npos);
    EXPECT_FALSE(parse_chain("", "x.toml"));
    EXPECT_FALSE(read_chain("/nowhere/x.toml"));
}

// Noise adds as power: a chain 10 dB below makes what is measured 0.458 dB too much.
TEST(Chain, ItsNoiseIsInTheUncertainty) {
    const TestTone tone{.snr_db = 20.0};
    const auto figures = measure_tone(made(tone), 8000.0);
    ASSERT_TRUE(figures);
    Chain chain;
    chain.name = "lead";
    chain.band = figures->band;
    chain.noise_dbfs.value = figures->noise_dbfs.value - 10.0;
    const double alone = figures->sinad_db.uncertainty_95;
    const Report with = tone_report(*figures, {}, &chain);
    EXPECT_EQ(with.chain, "lead");
    EXPECT_NEAR(find(with, "sinad_db")->figure.uncertainty_95, alone + 0.458, 0.001);
    chain.noise_dbfs.value = figures->noise_dbfs.value - 1.0;
    EXPECT_EQ(find(tone_report(*figures, {}, &chain), "sinad_db")->known, Known::at_least);
    EXPECT_EQ(find(tone_report(*figures, {}, nullptr), "sinad_db")->known, Known::value);
}

TEST(Chain, ClosedInputAndGeneratorTogether) {
    std::vector<float> closed;
    for (const double x : test::band_noise(80000, 8000.0, 50.0, 3900.0, 1e-4, 3))
        closed.push_back(static_cast<float>(x));
    const auto quiet = measure_chain(closed, 8000.0, {.name = "lead A"});
    ASSERT_TRUE(quiet) << quiet.error().message;
    ChainWish wish{.name = "lead A"};
    wish.reference_hz = 1000.0;
    const auto tone = measure_chain(test::made({.pitch_hz = 999.96, .snr_db = 60.0}), 8000.0, wish);
    ASSERT_TRUE(tone) << tone.error().message;
    const ChainMeasured both = joined(*quiet, *tone);
    EXPECT_EQ(both.chain.noise_dbfs.value, quiet->chain.noise_dbfs.value);
    ASSERT_TRUE(both.chain.clock_ppm);
    EXPECT_NEAR(both.chain.clock_ppm->value, 40.0, 0.5);
    int noises = 0, clocks = 0;
    for (const Measurement& m : both.report.measurements) {
        noises += m.name == "noise_dbfs" ? 1 : 0;
        clocks += m.name == "clock_ppm" ? 1 : 0;
    }
    EXPECT_EQ(noises, 1);
    EXPECT_EQ(clocks, 1);
}

}  // namespace
}  // namespace skedlark::bench
