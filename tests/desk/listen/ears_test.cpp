// The headphones through a virtual sound card; runs inside `virtual-audio.sh run -- desk_ears_test`.
#include "gui/listen/ears.h"

#include <gtest/gtest.h>

#include <chrono>
#include <cmath>
#include <cstdlib>
#include <numbers>
#include <thread>

#include "dsp/audio/live_source.h"
#include "dsp/core/units.h"

namespace skedlark::gui {
namespace {

using Clock = std::chrono::steady_clock;

constexpr double kPitchHz = 700.0;

class EarsOut : public testing::Test {
 protected:
    void SetUp() override {
        ASSERT_NE(std::getenv("VIRTUAL_AUDIO_DIR"), nullptr);
        auto source = audio::open_live({.device = "vcable_monitor", .rate_hz = 48000.0});
        ASSERT_TRUE(source.ok()) << source.error().message;
        source_ = *std::move(source);
        config_.device = "vcable_sink";
        ears_.set_pitch(kPitchHz);
    }
    // The loudest the card heard in so long a time, the ears fed with a tone meanwhile where asked for.
    float loudest(double seconds, float tone) {
        float peak = 0.0F;
        std::vector<float> block(9600), audio(400);
        const auto start = Clock::now();
        FrameIndex at = 0;
        for (double done = 0.0; done < seconds; done += 0.05) {
            if (tone > 0.0F) {
                for (float& sample : audio) {
                    sample = tone *
                             static_cast<float>(std::sin(2.0 * std::numbers::pi * kPitchHz *
                                                         static_cast<double>(at++) / kWorkRateHz));
                }
                ears_.take({audio}, at - 400);
            }
            const auto read = source_->read(block);
            EXPECT_TRUE(read.ok());
            for (int i = 0; read && i < read->frames; ++i) {
                peak = std::max(peak, std::abs(block[static_cast<std::size_t>(i)]));
            }
            std::this_thread::sleep_until(start + std::chrono::duration<double>(done));
        }
        return peak;
    }

    std::unique_ptr<audio::LiveSource> source_;
    EarsConfig config_;
    Ears ears_;
};

TEST_F(EarsOut, AreOffUntilTheyAreAskedFor) {
    ASSERT_TRUE(ears_.configure(config_).ok());
    EXPECT_EQ(loudest(1.0, 0.5F), 0.0F);
}

TEST_F(EarsOut, GiveTheToneAtTheLevelSetAndNeverAboveTheLimit) {
    config_.on = true;
    ASSERT_TRUE(ears_.configure(config_).ok());
    const float peak = loudest(3.0, 0.5F);
    EXPECT_GT(20.0 * std::log10(static_cast<double>(peak)), -41.0);
    EXPECT_LE(20.0 * std::log10(static_cast<double>(peak)),
              -30.0 + 1.5);  // 1.5: as live_output_test
}

TEST_F(EarsOut, AStretchIsPlayedInItsOwnTimeAndCanBeStopped) {
    ASSERT_TRUE(ears_.configure(config_).ok());
    std::vector<float> stretch(8000 * 10);
    for (std::size_t i = 0; i < stretch.size(); ++i) {
        stretch[i] = 0.1F * static_cast<float>(std::sin(2.0 * std::numbers::pi * kPitchHz *
                                                        static_cast<double>(i) / kWorkRateHz));
    }
    ears_.play(stretch);
    EXPECT_GT(loudest(2.0, 0.0F), 0.005F);
    EXPECT_TRUE(ears_.is_playing_stretch());
    ears_.stop_playing();
    EXPECT_FALSE(ears_.is_playing_stretch());
}

TEST_F(EarsOut, AClickIsHeard) {
    ASSERT_TRUE(ears_.configure(config_).ok());
    ears_.click();  // opens the output
    std::this_thread::sleep_for(std::chrono::seconds(1));
    ASSERT_TRUE(ears_.status().ok()) << ears_.status().error().message;
    ears_.click();
    // The virtual card holds up to two seconds back; a real one does not.
    EXPECT_GT(loudest(3.0, 0.0F), 0.004F);
}

TEST_F(EarsOut, AFilterThatCannotBeIsRefused) {
    config_.filter.width_hz = 5.0;
    EXPECT_FALSE(ears_.configure(config_).ok());
}

}  // namespace
}  // namespace skedlark::gui
