#include "dsp/tone/glide_looks.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

GlideLooksConfig config() { return {3000.0, 0.1, {500.0, 1000.0}}; }

std::vector<float> noise(double seconds, double deviation, std::uint64_t seed) {
    std::mt19937_64 random(support::test_seed(seed));
    std::normal_distribution<double> normal(0.0, deviation);
    std::vector<float> audio(static_cast<std::size_t>(seconds * kWorkRateHz));
    for (float& sample : audio) sample = static_cast<float>(normal(random));
    return audio;
}

// A pitch that glides by rate and is at_hz in the middle of the audio.
void add_glide(std::vector<float>& audio, double amplitude, double at_hz, double rate) {
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double t =
            (static_cast<double>(n) - 0.5 * static_cast<double>(audio.size())) / kWorkRateHz;
        audio[n] += static_cast<float>(
            amplitude * std::cos(2.0 * std::numbers::pi * (at_hz * t + 0.5 * rate * t * t)));
    }
}

TEST(GlideLooks, StepsAreAnEighthOfAnOctave) {
    EXPECT_NEAR(GlideLooks::power_of_step(8 * 2), 1.0, 0.07);
    for (int step = 1; step < 247; ++step) {
        const double ratio = GlideLooks::power_of_step(static_cast<std::uint8_t>(step + 8)) /
                             GlideLooks::power_of_step(static_cast<std::uint8_t>(step));
        ASSERT_NEAR(ratio, 2.0, 1e-9) << step;
    }
}

// The power of white noise in a cell is exponential: mean 1, median ln 2.
TEST(GlideLooks, NoiseIsExponentialOfMeanOne) {
    GlideLooks looks(config());
    looks.process(noise(20.0, 0.1, 3));
    ASSERT_GT(looks.end_row(), 300);
    double sum = 0.0;
    double below = 0.0;
    double count = 0.0;
    for (std::int64_t row = 0; row < looks.end_row(); ++row)
        for (int cell = 40; cell < looks.cells(); cell += 4) {
            const double power = GlideLooks::power_of_step(
                looks.row(row, 1, GlideWay::rising)[static_cast<std::size_t>(cell)]);
            sum += power;
            below += power < std::numbers::ln2 ? 1.0 : 0.0;
            count += 1.0;
        }
    // A row's loudness is never taken for less than 1, which costs the mean a few per cent.
    EXPECT_NEAR(sum / count, 0.96, 0.04);
    EXPECT_NEAR(below / count, 0.5, 0.04);
    EXPECT_NEAR(looks.noise_density(100, 300), 0.01 / 4000.0, 0.15 * 0.01 / 4000.0);
}

// Brought to rest the right way a glide is a line at its middle pitch; the wrong way it is drawn
// out over twice its run.
TEST(GlideLooks, GlidesComeToRestTheirOwnWay) {
    for (const bool rising : {true, false}) {
        auto audio = noise(4.0, 0.01, 5);
        add_glide(audio, 0.05, 1500.0, rising ? 1000.0 : -1000.0);
        GlideLooks looks(config());
        looks.process(audio);
        looks.finish();
        // The row whose middle is nearest the audio's, and its own middle pitch.
        const auto row =
            static_cast<std::int64_t>(std::lround((2.0 - looks.row_centre_s(0)) / looks.hop_s()));
        const double pitch_hz =
            1500.0 + (rising ? 1000.0 : -1000.0) * (looks.row_centre_s(row) - 2.0);
        const auto right = looks.row(row, 1, rising ? GlideWay::rising : GlideWay::falling);
        const auto wrong = looks.row(row, 1, rising ? GlideWay::falling : GlideWay::rising);
        const auto peak = std::max_element(right.begin(), right.end());
        EXPECT_NEAR(static_cast<double>(peak - right.begin()) * looks.cell_hz(), pitch_hz,
                    looks.cell_hz());
        EXPECT_GT(GlideLooks::power_of_step(*peak),
                  3.0 * GlideLooks::power_of_step(*std::max_element(wrong.begin(), wrong.end())));
    }
}

// A crash of static over the whole band is no louder than the noise afterwards.
TEST(GlideLooks, StaticIsScaledDown) {
    auto audio = noise(6.4, 0.1, 7);
    const auto crash = noise(0.4, 1.0, 8);
    std::copy(crash.begin(), crash.end(), audio.begin() + 24000);
    GlideLooks looks(config());
    looks.process(audio);
    looks.finish();
    const auto row =
        static_cast<std::int64_t>(std::lround((3.2 - looks.row_centre_s(0)) / looks.hop_s()));
    double sum = 0.0;
    const auto powers = looks.row(row, 0, GlideWay::falling);
    for (const auto step : powers) sum += GlideLooks::power_of_step(step);
    EXPECT_LT(sum / static_cast<double>(powers.size()), 2.0);
    EXPECT_GT(looks.noise_density(row, 300), 30.0 * 0.01 / 4000.0);
}

TEST(GlideLooks, AnySplitGivesTheSameRows) {
    const auto audio = noise(7.0, 0.1, 9);
    GlideLooks whole(config());
    whole.process(audio);
    whole.finish();
    GlideLooks pieces(config());
    for (std::size_t at = 0; at < audio.size();) {
        const std::size_t size = std::min<std::size_t>(1 + at % 777, audio.size() - at);
        pieces.process({audio.data() + at, size});
        at += size;
    }
    pieces.finish();
    ASSERT_EQ(whole.end_row(), pieces.end_row());
    for (std::int64_t row = 0; row < whole.end_row(); ++row) {
        const auto a = whole.row(row, 1, GlideWay::falling);
        const auto b = pieces.row(row, 1, GlideWay::falling);
        ASSERT_TRUE(std::equal(a.begin(), a.end(), b.begin())) << row;
    }
}

TEST(GlideLooks, SilenceAndBadSamplesAreNothing) {
    std::vector<float> audio(40000, 0.0F);
    audio[100] = std::numeric_limits<float>::quiet_NaN();
    audio[200] = std::numeric_limits<float>::infinity();
    GlideLooks looks(config());
    looks.process(audio);
    looks.finish();
    for (std::int64_t row = 0; row < looks.end_row(); ++row)
        for (const auto step : looks.row(row, 0, GlideWay::rising)) ASSERT_EQ(step, 0);
}

}  // namespace
}  // namespace skedlark::tone
