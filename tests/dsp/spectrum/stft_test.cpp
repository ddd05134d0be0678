#include "dsp/spectrum/stft.h"

#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <numbers>
#include <random>
#include <string>

#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::spectrum {
namespace {

std::vector<std::vector<float>> rows_of(Stft& stft, std::span<const float> audio,
                                        std::size_t block) {
    std::vector<std::vector<float>> rows;
    for (std::size_t n = 0; n < audio.size(); n += block) {
        stft.process(
            audio.subspan(n, std::min(block, audio.size() - n)),
            [&](std::span<const float> row) { rows.emplace_back(row.begin(), row.end()); });
    }
    return rows;
}

std::vector<float> noise(std::size_t length, double deviation, std::uint64_t seed) {
    std::mt19937_64 random(support::test_seed(seed));
    std::normal_distribution<float> normal(0.0F, static_cast<float>(deviation));
    std::vector<float> audio(length);
    for (float& sample : audio) sample = normal(random);
    return audio;
}

TEST(Stft, SineOfPeakOneReadsZeroDbfsInEveryWindow) {
    for (const WindowKind kind :
         {WindowKind::hann, WindowKind::blackman_harris, WindowKind::flat_top}) {
        auto stft =
            Stft::create({.size = 256, .hop = 256, .window = kind, .scale = RowScale::dbfs});
        ASSERT_TRUE(stft.ok());
        std::vector<float> audio(256);
        for (std::size_t n = 0; n < audio.size(); ++n)  // 32 periods: the middle of bin 32
            audio[n] =
                static_cast<float>(std::sin(2.0 * std::numbers::pi * static_cast<double>(n) / 8.0));
        const auto rows = rows_of(*stft, audio, audio.size());
        ASSERT_EQ(rows.size(), 1U);
        EXPECT_NEAR(rows[0][32], 0.0F, 0.001F);
    }
}

// White noise of deviation s has one-sided density 2 s^2 / fs; a known level must read back within
// 0.1 dB on the mean of 500 rows (standard deviation of that mean under 0.02 dB over all bins).
TEST(Stft, WhiteNoiseReadsItsDensityInEveryWindow) {
    const double deviation = 0.1;
    const auto audio = noise(256 * 500, deviation, 21);
    for (const WindowKind kind :
         {WindowKind::rectangular, WindowKind::hann, WindowKind::flat_top}) {
        auto stft = Stft::create({.size = 256, .hop = 256, .window = kind});
        ASSERT_TRUE(stft.ok());
        double sum = 0.0;
        int count = 0;
        for (const auto& row : rows_of(*stft, audio, 1000)) {
            for (std::size_t bin = 8; bin < 120; ++bin, ++count)
                sum += static_cast<double>(row[bin]);
        }
        const double wanted = 2.0 * deviation * deviation / kWorkRateHz;
        EXPECT_NEAR(10.0 * std::log10(sum / count / wanted), 0.0, 0.1);
    }
}

TEST(Stft, SilenceAndConstant) {
    auto stft = Stft::create({.size = 64, .hop = 32, .scale = RowScale::dbfs});
    ASSERT_TRUE(stft.ok());
    for (const auto& row : rows_of(*stft, std::vector<float>(256), 256))
        for (const float level : row) EXPECT_FLOAT_EQ(level, -200.0F);
    stft->reset();
    for (const auto& row : rows_of(*stft, std::vector<float>(256, 0.5F), 256)) {
        EXPECT_GT(row[0], -10.0F);
        for (std::size_t bin = 2; bin < row.size(); ++bin) EXPECT_LT(row[bin], -120.0F);
    }
}

TEST(Stft, GivesTheSameRowsForAnySplitAndAllocatesNothing) {
    const auto audio = noise(5000, 1.0, 22);
    auto stft = Stft::create({.size = 512, .hop = 200});
    ASSERT_TRUE(stft.ok());
    const auto whole = rows_of(*stft, audio, audio.size());
    EXPECT_EQ(whole.size(), (5000U - 512U) / 200U + 1U);
    for (const std::size_t block : {std::size_t{1}, std::size_t{7}, std::size_t{513}}) {
        stft->reset();
        EXPECT_EQ(rows_of(*stft, audio, block), whole);
    }
    const support::AllocationCount count;
    stft->process(audio, [](std::span<const float>) {});
    EXPECT_EQ(count.made(), 0);
}

TEST(Stft, RowCentreIsTheMiddleOfItsWindow) {
    auto stft = Stft::create({.size = 100, .hop = 50});
    ASSERT_TRUE(stft.ok());
    std::vector<FrameIndex> centres;
    stft->process(std::vector<float>(200),
                  [&](std::span<const float>) { centres.push_back(stft->row_centre_frame()); });
    EXPECT_EQ(centres, (std::vector<FrameIndex>{50, 100, 150}));
}

TEST(Stft, RefusesBadSettings) {
    EXPECT_FALSE(Stft::create({.sample_rate_hz = 0.0}).ok());
    EXPECT_FALSE(Stft::create({.size = 4}).ok());
    EXPECT_FALSE(Stft::create({.size = 64, .hop = 65}).ok());
    EXPECT_FALSE(Stft::create({.size = 64, .hop = 0}).ok());
    EXPECT_NE(Stft::create({.size = 64, .hop = 65}).error().message.find("hop is 65"),
              std::string::npos);
}

// Second opinion: golden/welch.csv holds scipy.signal.welch of the signal that golden/make_welch.py
// describes; both make it from integers, so that it is the same to the last bit.
TEST(Stft, MeanOfRowsAgreesWithScipyWelch) {
    std::vector<float> audio;
    std::uint32_t state = 12345;
    for (int n = 0; n < 16384; ++n) {
        state = state * 1664525U + 1013904223U;
        const double tone = 0.25 * std::cos(2.0 * std::numbers::pi * 700.0 * n / 8000.0);
        audio.push_back(
            static_cast<float>((static_cast<double>(state >> 16) - 32768.0) / 65536.0 + tone));
    }
    auto stft = Stft::create({.size = 512, .hop = 256});
    ASSERT_TRUE(stft.ok());
    const auto rows = rows_of(*stft, audio, 4096);
    std::ifstream golden(std::string(GOLDEN_FOLDER) + "/welch.csv");
    ASSERT_TRUE(golden) << "golden/welch.csv is missing";
    std::string line;
    std::getline(golden, line);
    std::size_t bin = 0;
    for (; std::getline(golden, line); ++bin) {
        ASSERT_LT(bin, 257U);
        const double wanted = std::stod(line.substr(line.find(',') + 1));
        double mean = 0.0;
        for (const auto& row : rows) mean += static_cast<double>(row[bin]);
        mean /= static_cast<double>(rows.size());
        // Float against double: 0.001 dB.
        EXPECT_NEAR(10.0 * std::log10(mean / wanted), 0.0, 0.001) << "bin " << bin;
    }
    EXPECT_EQ(bin, 257U);
}

}  // namespace
}  // namespace skedlark::spectrum
