// The sound of practice through a virtual sound card; runs inside `virtual-audio.sh run -- ...`.
#include "gui/practice/practice_sound.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <numbers>
#include <thread>

#include "dsp/audio/live_source.h"
#include "dsp/core/units.h"

namespace skedlark::gui {
namespace {

double now_s() {
    return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch())
        .count();
}

float peak_heard(audio::Source& source, double seconds) {
    std::vector<float> block(4800);
    float peak = 0.0F;
    const double until = now_s() + seconds;
    while (now_s() < until) {
        const auto read = source.read(block);
        EXPECT_TRUE(read.ok());
        if (!read) break;
        for (int i = 0; i < read->frames; ++i)
            peak = std::max(peak, std::abs(block[static_cast<std::size_t>(i)]));
    }
    return peak;
}

TEST(PracticeSound, KeyAndDrillKeepWithinTheLimitAndTheDelayIsTold) {
    auto sound = make_practice_sound();
    SoundSettings settings;
    settings.device = "vcable_sink";
    settings.level_dbfs = -12.0;  // above the limit
    settings.limit_dbfs = -30.0;
    ASSERT_TRUE(sound->configure(settings).ok());
    EXPECT_FALSE(sound->key_delay_s().has_value());
    sound->open();
    auto source = audio::open_live({.device = "vcable_monitor", .rate_hz = 48000.0});
    ASSERT_TRUE(source.ok());
    (void)peak_heard(**source, 1.0);
    sound->key(true, now_s());
    const double limit = amplitude_from_db(-30.0);
    const float keyed = peak_heard(**source, 1.0);
    sound->key(false, now_s());
    EXPECT_NEAR(static_cast<double>(keyed), limit, 0.02 * limit);
    const auto delay_s = sound->key_delay_s();
    ASSERT_TRUE(delay_s.has_value());
    EXPECT_GT(*delay_s, 0.005);
    EXPECT_LT(*delay_s, 0.25);
    // A drill at -20 dBFS brought to a level below the limit.
    settings.level_dbfs = -40.0;
    ASSERT_TRUE(sound->configure(settings).ok());
    double phase = 0.0;
    sound->play([&phase](std::span<float> piece) {
        for (float& sample : piece) {
            sample = static_cast<float>(0.1 * std::sin(phase));
            phase += 2.0 * std::numbers::pi * 700.0 / kWorkRateHz;
        }
        return piece.size();
    });
    EXPECT_TRUE(sound->is_playing());
    (void)peak_heard(**source, 0.5);
    EXPECT_NEAR(static_cast<double>(peak_heard(**source, 0.5)), 0.01, 0.001);
    sound->stop();
    EXPECT_FALSE(sound->is_playing());
    (void)peak_heard(**source, 0.7);
    EXPECT_LT(peak_heard(**source, 0.3), 1e-4F);
    sound->release();
    EXPECT_FALSE(sound->key_delay_s().has_value());
}

TEST(PracticeSound, WhatCannotBeIsSaid) {
    auto sound = make_practice_sound();
    SoundSettings settings;
    settings.sidetone_hz = 50.0;
    EXPECT_FALSE(sound->configure(settings).ok());
    settings.sidetone_hz = 600.0;
    settings.device = "no such output";
    ASSERT_TRUE(sound->configure(settings).ok());
    sound->open();
    const double until = now_s() + 10.0;
    while (sound->status().ok() && now_s() < until)
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    ASSERT_FALSE(sound->status().ok());
    EXPECT_NE(sound->status().error().message.find("no such output"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::gui
