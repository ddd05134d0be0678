#include "dsp/tone/ear_filter.h"

#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <limits>
#include <numbers>
#include <random>
#include <vector>

#include "dsp/core/units.h"
#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

constexpr double kPitchHz = 700.0;

std::vector<float> tone(double hz, double amplitude, double seconds) {
    std::vector<float> audio(static_cast<std::size_t>(seconds * kWorkRateHz));
    for (std::size_t i = 0; i < audio.size(); ++i) {
        audio[i] = static_cast<float>(amplitude * std::sin(2.0 * std::numbers::pi * hz *
                                                           static_cast<double>(i) / kWorkRateHz));
    }
    return audio;
}

std::vector<float> noise(double sigma, double seconds, std::uint64_t seed) {
    std::mt19937_64 random(seed);
    std::normal_distribution<double> normal(0.0, sigma);
    std::vector<float> audio(static_cast<std::size_t>(seconds * kWorkRateHz));
    for (float& sample : audio) sample = static_cast<float>(normal(random));
    return audio;
}

std::vector<float> heard(const std::vector<float>& audio, const EarFilterConfig& config = {}) {
    auto filter = EarFilter::create(config);
    EXPECT_TRUE(filter.ok());
    std::vector<float> out(audio.size());
    filter->process(audio, kPitchHz, out);
    return out;
}

// Amplitude at one frequency over the second half, by the plain sum.
double amplitude_at(const std::vector<float>& audio, double hz) {
    std::complex<double> sum = 0.0;
    const std::size_t from = audio.size() / 2;
    for (std::size_t i = from; i < audio.size(); ++i) {
        sum += static_cast<double>(audio[i]) *
               std::polar(1.0, -2.0 * std::numbers::pi * hz * static_cast<double>(i) / kWorkRateHz);
    }
    return 2.0 * std::abs(sum) / static_cast<double>(audio.size() - from);
}

TEST(EarFilter, BringsToneOfAnyLevelToTheLevelSetAtItsOwnPitch) {
    for (const double amplitude : {0.001, 0.01, 0.1, 0.9}) {
        const auto out = heard(tone(kPitchHz + 11.0, amplitude, 4.0));
        EXPECT_NEAR(20.0 * std::log10(amplitude_at(out, kPitchHz + 11.0)), -40.0, 1.0) << amplitude;
    }
}

// Beyond the skirts the window's own figure holds: Kaiser's, 60 dB. The neighbour is as strong as the tone.
TEST(EarFilter, ATonePassesItsNeighbourDoesNot) {
    auto audio = tone(kPitchHz, 0.05, 4.0);
    const auto other = tone(kPitchHz + 150.0, 0.05, 4.0);
    for (std::size_t i = 0; i < audio.size(); ++i) audio[i] += other[i];
    const auto out = heard(audio);
    const double ratio_db =
        20.0 * std::log10(amplitude_at(out, kPitchHz + 150.0) / amplitude_at(out, kPitchHz));
    EXPECT_LT(ratio_db, -40.0);  // cut_static() makes some of the mixture anew
}

TEST(EarFilter, AtTheEdgeOfTheWidthItIsHalfTheAmplitude) {
    // Level steered out of the way: compare two tones heard together, in the middle and at the edge.
    auto audio = tone(kPitchHz, 0.05, 6.0);
    const auto edge = tone(kPitchHz + 60.0, 0.002, 6.0);
    for (std::size_t i = 0; i < audio.size(); ++i) audio[i] += edge[i];
    const auto out = heard(audio);
    const double ratio = amplitude_at(out, kPitchHz + 60.0) / amplitude_at(out, kPitchHz);
    EXPECT_NEAR(20.0 * std::log10(ratio / (0.002 / 0.05)), -6.0, 1.0);
}

TEST(EarFilter, NothingIsEverLouderThanTheCeiling) {
    const std::uint64_t seed = support::test_seed(11);
    EarFilterConfig config;
    config.level_dbfs = -32.0;
    const float ceiling = static_cast<float>(amplitude_from_db(config.ceiling_dbfs));
    auto audio = noise(0.001, 4.0, seed);
    for (std::size_t i = 16000; i < 20000; ++i) audio[i] = i % 7 < 3 ? 1.0F : -1.0F;
    audio[20500] = std::numeric_limits<float>::infinity();
    audio[20501] = std::numeric_limits<float>::quiet_NaN();
    audio[20502] = 1e30F;
    for (const float sample : heard(audio, config)) {
        ASSERT_TRUE(std::isfinite(sample));
        ASSERT_LE(std::abs(sample), ceiling);
    }
}

TEST(EarFilter, ACrashIsCutToTheOrdinary) {
    const std::uint64_t seed = support::test_seed(12);
    auto audio = noise(0.01, 6.0, seed);
    const auto quiet = heard(audio);
    const std::size_t at = 40000;
    for (std::size_t i = at; i < at + 80; ++i) audio[i] *= 100.0F;  // 10 ms, 40 dB
    const auto crash = heard(audio);
    double before = 0.0;
    double during = 0.0;
    for (std::size_t i = at; i < at + 800; ++i) {
        before = std::max(before, static_cast<double>(std::abs(quiet[i])));
        during = std::max(during, static_cast<double>(std::abs(crash[i])));
    }
    EXPECT_LT(20.0 * std::log10(during / before), 10.0);
}

TEST(EarFilter, SilenceStaysSilent) {
    for (const float sample : heard(std::vector<float>(8000, 0.0F))) EXPECT_EQ(sample, 0.0F);
}

TEST(EarFilter, IsTheSameForAnySplitAndDoesNotAllocate) {
    const auto audio = noise(0.1, 1.0, support::test_seed(13));
    const auto whole = heard(audio);
    auto filter = EarFilter::create({});
    ASSERT_TRUE(filter.ok());
    std::vector<float> out(audio.size());
    const support::AllocationCount count_of;
    for (std::size_t at = 0, size = 1; at < audio.size(); at += size, size = size % 97 + 1) {
        const std::size_t count = std::min(size, audio.size() - at);
        filter->process(std::span(audio).subspan(at, count), kPitchHz,
                        std::span(out).subspan(at, count));
    }
    EXPECT_EQ(count_of.made(), 0);
    EXPECT_EQ(out, whole);
}

TEST(EarFilter, RefusesWhatItCannotDo) {
    for (const EarFilterConfig& config :
         {EarFilterConfig{10.0, -40.0, -30.0}, EarFilterConfig{120.0, -20.0, -30.0},
          EarFilterConfig{120.0, -40.0, 3.0}, EarFilterConfig{std::nan(""), -40.0, -30.0}}) {
        const auto made = EarFilter::create(config);
        ASSERT_FALSE(made.ok());
        EXPECT_NE(made.error().message.find("allowed"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::tone
