// Sound out of a virtual sound card and in again; runs inside `virtual-audio.sh run -- audio_live_test`.
#include "dsp/audio/live_output.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <numbers>
#include <thread>

#include "dsp/audio/live_source.h"
#include "dsp/core/units.h"

namespace skedlark::audio {
namespace {

using std::chrono::steady_clock;

bool card(const std::string& verb) {
    return std::system((std::string(VIRTUAL_AUDIO_SCRIPT) + " " + verb).c_str()) == 0;
}

class Output : public testing::Test {
 protected:
    void SetUp() override {
        ASSERT_NE(std::getenv("VIRTUAL_AUDIO_DIR"), nullptr);
        auto made = LiveOutput::create({.device = "vcable_sink", .limit_dbfs = -20.0});
        ASSERT_TRUE(made.ok()) << made.error().message;
        output_ = *std::move(made);
    }
    [[nodiscard]] bool wait_until_playing(double seconds) const {
        const auto until = steady_clock::now() + std::chrono::duration<double>(seconds);
        while (!output_->is_playing() && steady_clock::now() < until) {
            std::this_thread::sleep_for(std::chrono::milliseconds(10));
        }
        return output_->is_playing();
    }
    // Plays a tone for so long, in the pace of the clock, and gives what the card heard meanwhile.
    std::vector<float> play(double hz, double amplitude, double seconds, Source& heard) {
        std::vector<float> all, block(4800), tone(400);
        const auto start = steady_clock::now();
        FrameIndex at = 0;
        for (double done = 0.0; done < seconds; done += 0.05) {
            for (float& sample : tone) {
                sample = static_cast<float>(amplitude *
                                            std::sin(2.0 * std::numbers::pi * hz *
                                                     static_cast<double>(at++) / kWorkRateHz));
            }
            output_->put(tone);
            const auto read = heard.read(block);
            EXPECT_TRUE(read.ok());
            if (!read) return all;
            all.insert(all.end(), block.begin(), block.begin() + read->frames);
            std::this_thread::sleep_until(start + std::chrono::duration<double>(done));
        }
        return all;
    }
    std::unique_ptr<LiveOutput> output_;
};

// In the middle of what was heard, by the plain sum.
double amplitude_at(const std::vector<float>& audio, double hz, double rate_hz) {
    const std::size_t from = audio.size() / 2;
    const std::size_t count = static_cast<std::size_t>(rate_hz / 2.0);
    if (audio.size() < from + count) return 0.0;
    double re = 0.0;
    double im = 0.0;
    for (std::size_t i = from; i < from + count; ++i) {
        const double angle = 2.0 * std::numbers::pi * hz * static_cast<double>(i) / rate_hz;
        re += static_cast<double>(audio[i]) * std::cos(angle);
        im += static_cast<double>(audio[i]) * std::sin(angle);
    }
    return 2.0 * std::hypot(re, im) / static_cast<double>(count);
}

TEST_F(Output, WhatIsPutInComesOutWhileTheCardIsListenedTo) {
    auto source = open_live({.device = "vcable_monitor", .rate_hz = 48000.0});
    ASSERT_TRUE(source.ok()) << source.error().message;
    ASSERT_TRUE(wait_until_playing(10.0)) << output_->status().error().message;
    const auto heard = play(700.0, 0.03, 3.0, **source);
    EXPECT_NEAR(amplitude_at(heard, 700.0, 48000.0), 0.03, 0.001);
}

TEST_F(Output, NothingIsLouderThanTheLimit) {
    auto source = open_live({.device = "vcable_monitor", .rate_hz = 48000.0});
    ASSERT_TRUE(source.ok()) << source.error().message;
    ASSERT_TRUE(wait_until_playing(10.0)) << output_->status().error().message;
    float peak = 0.0F;
    for (const float sample : play(700.0, 1.0, 2.0, **source)) {
        peak = std::max(peak, std::abs(sample));
    }
    EXPECT_GT(peak, 0.09F);
    // -20 dBFS; the server's resampling to its own rate may swing over at a cut wave's edges by 9 % of
    // their height (Gibbs), no more.
    EXPECT_LE(peak, 0.1F * 1.18F);
}

TEST_F(Output, ComesBackAfterTheSoundServerWasKilled) {
    ASSERT_TRUE(wait_until_playing(10.0)) << output_->status().error().message;
    ASSERT_TRUE(card("kill"));
    const auto until = steady_clock::now() + std::chrono::seconds(10);
    while (output_->is_playing() && steady_clock::now() < until) {
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    EXPECT_FALSE(output_->is_playing());
    EXPECT_FALSE(output_->status().ok());
    ASSERT_TRUE(card("restart"));
    EXPECT_TRUE(wait_until_playing(20.0)) << output_->status().error().message;
}

TEST(OutputWithout, AMissingDeviceIsTold) {
    auto made = LiveOutput::create({.device = "no such card"});
    ASSERT_TRUE(made.ok());
    const auto until = steady_clock::now() + std::chrono::seconds(10);
    while ((*made)->status().ok() && steady_clock::now() < until) {
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    ASSERT_FALSE((*made)->status().ok());
    EXPECT_NE((*made)->status().error().message.find("no such card"), std::string::npos);
}

TEST(OutputWithout, ALimitThatIsNoneIsRefused) {
    for (const double limit : {1.0, -81.0, std::nan("")}) {
        EXPECT_FALSE(LiveOutput::create({.limit_dbfs = limit}).ok());
    }
}

}  // namespace
}  // namespace skedlark::audio
