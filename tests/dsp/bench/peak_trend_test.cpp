#include "dsp/bench/peak_trend.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

class Follow {
 public:
    explicit Follow(double rate_hz) : meter_(*PeakMeter::create({.sample_rate_hz = rate_hz})) {}
    void hear(const std::vector<float>& audio) {
        std::span<const float> rest(audio);
        while (rest.size() >= 400) {
            if (meter_.process(rest.first(400))) trend.add(meter_.reading());
            rest = rest.subspan(400);
        }
    }
    PeakTrend trend{};

 private:
    PeakMeter meter_;
};

std::vector<float> tone(double amplitude, double seconds) {
    return test::made({.seconds = seconds, .amplitude = amplitude, .snr_db = 30.0});
}

TEST(PeakTrend, RisesFallsAndRests) {
    Follow follow(8000.0);
    follow.hear(tone(0.1, 3.0));
    EXPECT_EQ(follow.trend.now(), Trend::steady);
    EXPECT_EQ(follow.trend.last(), Trend::steady) << "nothing changed yet";
    follow.hear(tone(0.12, 0.4));  // 1.6 dB up
    EXPECT_EQ(follow.trend.now(), Trend::rising);
    EXPECT_GT(follow.trend.change_db(), 0.5);
    follow.hear(tone(0.12, 3.0));
    EXPECT_EQ(follow.trend.now(), Trend::steady);
    EXPECT_EQ(follow.trend.last(), Trend::rising);
    follow.hear(tone(0.09, 0.4));
    EXPECT_EQ(follow.trend.now(), Trend::falling);
}

// Noise swings by itself: in a minute of it hardly a reading may be called a change.
TEST(PeakTrend, NoiseAloneIsNoChange) {
    Follow follow(8000.0);
    const auto noise = test::band_noise(60 * 8000, 8000.0, 300.0, 2700.0, 0.05, 5);
    int changes = 0, readings = 0;
    for (std::size_t at = 0; at + 400 <= noise.size(); at += 400) {
        const std::vector<float> block(noise.begin() + static_cast<std::ptrdiff_t>(at),
                                       noise.begin() + static_cast<std::ptrdiff_t>(at) + 400);
        follow.hear(block);
        ++readings;
        changes += follow.trend.now() != Trend::steady ? 1 : 0;
    }
    EXPECT_LT(changes, readings / 5) << changes;
}

}  // namespace
}  // namespace skedlark::bench
