#include "gui/listen/level_meter.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

#include "dsp/core/units.h"

namespace skedlark::gui {
namespace {

std::vector<float> tone(double amplitude, double seconds) {
    std::vector<float> audio(static_cast<std::size_t>(seconds * kWorkRateHz));
    for (std::size_t i = 0; i < audio.size(); ++i) {
        audio[i] = static_cast<float>(
            amplitude * std::sin(2.0 * std::numbers::pi * 0.1 * static_cast<double>(i)));
    }
    return audio;
}

Level level_of(const std::vector<float>& audio) {
    LevelMeter meter;
    meter.add(audio, false);
    return meter.level();
}

// The verdicts are those of the hook-up check on the same sound.
TEST(LevelMeter, SaysWhatTheHookupCheckSays) {
    for (const double amplitude : {0.0, 0.0005, 0.01, 0.5, 1.3}) {
        auto audio = tone(amplitude, 4.0);
        for (float& sample : audio) sample = std::clamp(sample, -1.0F, 1.0F);
        const auto check = audio::check_hookup(audio, kWorkRateHz);
        ASSERT_TRUE(check.ok());
        EXPECT_EQ(level_of(audio).verdict, check->level) << amplitude;
    }
}

TEST(LevelMeter, ShowsThePeakAndLetsItFallByTwentyDecibelsASecond) {
    LevelMeter meter;
    meter.add(std::vector<float>(800, 0.5F), false);
    EXPECT_NEAR(meter.level().peak_dbfs, -6.02, 0.01);
    meter.add(std::vector<float>(8000, 0.0F), false);
    EXPECT_NEAR(meter.level().peak_dbfs, -26.02, 0.05);
}

TEST(LevelMeter, ForgetsAnOldPeakAfterTheTimeItJudges) {
    LevelMeter meter;
    meter.add(tone(1.3, 1.0), false);
    EXPECT_EQ(meter.level().verdict, audio::LevelVerdict::clipping);
    meter.add(tone(0.1, LevelMeter::kJudgeS + 1.0), false);
    EXPECT_EQ(meter.level().verdict, audio::LevelVerdict::good);
}

TEST(LevelMeter, LostAudioAndWhatIsNoNumberCountForNothing) {
    LevelMeter meter;
    meter.add(tone(0.1, 1.0), false);
    meter.add(std::vector<float>(400, std::nanf("")), false);
    meter.add(std::vector<float>(400, 1.0F), true);
    EXPECT_EQ(meter.level().verdict, audio::LevelVerdict::good);
    EXPECT_LT(meter.level().peak_dbfs, -20.0);
}

TEST(LevelMeter, IsTheSameForAnySplit) {
    const auto audio = tone(0.3, 2.3);
    LevelMeter pieces;
    for (std::size_t at = 0, size = 1; at < audio.size(); at += size, size = size % 613 + 1) {
        pieces.add(std::span(audio).subspan(at, std::min(size, audio.size() - at)), false);
    }
    EXPECT_EQ(pieces.level().peak_dbfs, level_of(audio).peak_dbfs);
    EXPECT_EQ(pieces.level().verdict, level_of(audio).verdict);
}

}  // namespace
}  // namespace skedlark::gui
