// Sound out of a virtual sound card and in again; runs inside `virtual-audio.sh run -- audio_live_test`.
#include "dsp/audio/live_output.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <numbers>
#include <thread>

#include "dsp/audio/keyed_tone.h"
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

struct KeyedTake {
    std::vector<double> pressed, heard_at;  // of the steady clock
    double peak = 0.0;
    double told_s = 0.0;  // mean delay by the tone's and the sound system's own account
    [[nodiscard]] double mean_delay_s() const {
        double sum = 0.0;
        for (std::size_t i = 0; i < pressed.size(); ++i) sum += heard_at[i] - pressed[i];
        return sum / static_cast<double>(pressed.size());
    }
    [[nodiscard]] double worst_length_s() const {
        double worst = 0.0;
        for (std::size_t i = 1; i < pressed.size(); ++i)
            worst = std::max(
                worst, std::abs((heard_at[i] - heard_at[i - 1]) - (pressed[i] - pressed[i - 1])));
        return worst;
    }
};

double now_s() {
    return std::chrono::duration<double>(steady_clock::now().time_since_epoch()).count();
}

// Twenty edges a tenth of a second apart, out of the card and in again.
KeyedTake take_keyed(LiveOutput& output, KeyedTone& tone, double level) {
    KeyedTake take;
    auto source = open_live({.device = "vcable_monitor", .rate_hz = 48000.0});
    EXPECT_TRUE(source.ok());
    std::vector<float> heard, block(4800);
    double heard_from_s = 1e300;  // at the first frame: as early as any block allows
    const double start_s = now_s();
    double next_s = start_s + 1.5;
    while (source.ok() && now_s() < start_s + 4.5) {
        if (now_s() >= next_s && take.pressed.size() < 20) {
            take.pressed.push_back(now_s());
            tone.key(take.pressed.size() % 2 == 1, take.pressed.back());
            take.told_s += (tone.wait_s() + output.latency_s().value_or(0.0)) / 20.0;
            next_s += 0.1;
        }
        const auto read = (*source)->read(block);
        if (!read) break;
        heard.insert(heard.end(), block.begin(), block.begin() + read->frames);
        heard_from_s =
            std::min(heard_from_s, now_s() - static_cast<double>(heard.size()) / 48000.0);
    }
    bool loud = false;
    for (std::size_t i = 0; i + 12 < heard.size(); ++i) {
        // A wave of 1000 Hz and itself a quarter later: the amplitude.
        const double amplitude =
            std::hypot(static_cast<double>(heard[i]), static_cast<double>(heard[i + 12]));
        take.peak = std::max(take.peak, std::abs(static_cast<double>(heard[i])));
        if (loud ? amplitude > 0.4 * level : amplitude < 0.6 * level) continue;
        loud = !loud;
        take.heard_at.push_back(heard_from_s + (static_cast<double>(i) + 6.0) / 48000.0);
    }
    return take;
}

TEST(KeyedOutput, SidetoneIsSoonInTimeAndNoLouderThanItsLimit) {
    const auto tone =
        *KeyedTone::create({.pitch_hz = 1000.0, .level_dbfs = 0.0, .ceiling_dbfs = -30.0});
    auto output = LiveOutput::create({.device = "vcable_sink",
                                      .limit_dbfs = -30.0,
                                      .voice = tone,
                                      .latency_s = 0.02,
                                      .block_s = 0.005});
    ASSERT_TRUE(output.ok()) << output.error().message;
    const auto until = steady_clock::now() + std::chrono::seconds(10);
    while (!(*output)->is_playing() && steady_clock::now() < until)
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    ASSERT_TRUE((*output)->is_playing());
    const double limit = amplitude_from_db(-30.0);
    KeyedTake take;
    // A machine that is busy with other things breaks the sound up: then once more.
    for (int i = 0; i < 5; ++i) {
        take = take_keyed(**output, *tone, limit);
        EXPECT_LE(take.peak,
                  limit * 1.001);  // a smooth tone at its limit is not cut: no swinging over
        if (take.heard_at.size() == take.pressed.size() && take.worst_length_s() < 0.01) break;
    }
    ASSERT_EQ(take.heard_at.size(), take.pressed.size());
    EXPECT_GT(take.peak, limit * 0.95);
    std::printf("key to input %.1f ms, told key to sound %.1f ms, worst length off by %.1f ms\n",
                1e3 * take.mean_delay_s(), 1e3 * take.told_s, 1e3 * take.worst_length_s());
    // The way back in is in the measured one too; what the sound system tells of itself may be a few
    // blocks of it too much.
    EXPECT_GT(take.told_s, 0.003);
    EXPECT_NEAR(take.mean_delay_s(), take.told_s, 0.04);
    EXPECT_LT(take.mean_delay_s(), 0.2);
    // The block is 5 ms; what is longer would be the block's doing.
    EXPECT_LT(take.worst_length_s(), 0.01);
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
    EXPECT_FALSE(LiveOutput::create({.latency_s = 0.001}).ok());
    EXPECT_FALSE(LiveOutput::create({.latency_s = 0.02, .block_s = 0.03}).ok());
}

}  // namespace
}  // namespace skedlark::audio
