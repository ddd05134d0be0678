#include "dsp/audio/mains_hum.h"

#include <gtest/gtest.h>

#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

std::vector<float> comb(double mains_hz, double rate_hz, const std::vector<double>& peaks) {
    auto audio = test::noise(static_cast<std::size_t>(3.0 * rate_hz), 0.01);
    for (std::size_t k = 0; k < peaks.size(); ++k) {
        const auto line =
            test::sine(static_cast<double>(k + 1) * mains_hz, rate_hz, audio.size(), peaks[k]);
        for (std::size_t i = 0; i < audio.size(); ++i) audio[i] += line[i];
    }
    return audio;
}

// Power of a sine: peak^2 / 2.
TEST(MainsHum, LinesHaveTheirFrequencyAndPower) {
    for (const double mains_hz : {49.2, 50.0, 59.8, 60.9}) {
        const MainsHum hum = find_mains_hum(comb(mains_hz, 8000.0, {0.1, 0.05}), 8000.0);
        EXPECT_NEAR(hum.mains_hz, mains_hz, 0.02);
        ASSERT_EQ(hum.lines.size(), 2U);
        EXPECT_NEAR(hum.lines[0].power, 0.005, 0.0002);
        EXPECT_NEAR(hum.lines[1].power, 0.00125, 0.00006);
        EXPECT_NEAR(hum.power, 0.00625, 0.0003);
    }
}

TEST(MainsHum, OneLineAloneIsATone) {
    EXPECT_TRUE(find_mains_hum(comb(50.0, 8000.0, {0.1}), 8000.0).lines.empty());
}

TEST(MainsHum, BeyondAHertzIsNotTheMains) {
    EXPECT_TRUE(find_mains_hum(comb(54.5, 8000.0, {0.1, 0.05, 0.05}), 8000.0).lines.empty());
}

TEST(MainsHum, SilenceHasNone) {
    EXPECT_TRUE(find_mains_hum(std::vector<float>(24000, 0.0F), 8000.0).lines.empty());
}

}  // namespace
}  // namespace skedlark::audio
