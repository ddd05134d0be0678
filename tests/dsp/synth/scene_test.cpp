// Whole scenes: SNR, level, length, repeatability, any split, silence, speed of making.
#include "dsp/synth/scene.h"

#include <chrono>

#include <gtest/gtest.h>

#include "dsp/synth/text_makers.h"
#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

using probe::db;

// Definition: key-down tone power A^2/2 over noise power in 2500 Hz. Tone and noise are read apart from
// the same seed; 60 s of noise give 10 x 600 independent cells, 0.06 dB of standard error.
TEST(Scene, SnrReadsBack) {
    for (const double rate_hz : {8000.0, 11025.0, 48000.0}) {
        for (const double snr_db : {-12.0, 0.0, 10.0}) {
            SceneConfig config;
            config.sample_rate_hz = rate_hz;
            config.seconds = rate_hz > 40000.0 ? 30.0 : 60.0;
            config.seed = probe::test_seed();
            config.wanted.carrier = true;
            const auto tone = make_scene(config);
            ASSERT_TRUE(tone) << tone.error().message;
            config.snr_2500hz_db = snr_db;
            config.wanted.carrier = false;
            const auto noise = make_scene(config);
            ASSERT_TRUE(noise);
            const double tone_power = probe::mean_square(tone->samples);
            // White: density is mean square over half the rate; 480,000 samples give 0.013 dB.
            const double noise_power = probe::mean_square(noise->samples) / (0.5 * rate_hz) * 2500.0;
            EXPECT_NEAR(db(tone_power / noise_power), snr_db, 0.1) << rate_hz;
            const auto piece = static_cast<std::size_t>(rate_hz * 0.1);
            const double local = 2500.0 * probe::density_at(noise->samples, 700.0, rate_hz, piece);
            EXPECT_NEAR(db(tone_power / local), snr_db, rate_hz > 40000.0 ? 0.35 : 0.25) << rate_hz;
            EXPECT_NEAR(db(tone_power / 0.5), config.level_dbfs, 0.01);
        }
    }
}

}  // namespace
}  // namespace skedlark::synth
