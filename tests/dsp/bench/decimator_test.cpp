#include "dsp/bench/decimator.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace skedlark::bench {
namespace {

std::vector<float> sine(double rate_hz, double hz, double seconds) {
    std::vector<float> audio(static_cast<std::size_t>(rate_hz * seconds));
    for (std::size_t i = 0; i < audio.size(); ++i) {
        audio[i] = static_cast<float>(
            std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(i) / rate_hz));
    }
    return audio;
}

TEST(Decimator, PassesWhatIsWantedInItsPlace) {
    for (const double rate : {8000.0, 11025.0, 22050.0, 44100.0, 48000.0, 96000.0, 192000.0}) {
        auto made = Decimator::create(rate);
        ASSERT_TRUE(made.ok());
        EXPECT_GE(made->rate_hz(), 8000.0);
        EXPECT_LT(made->rate_hz(), 16000.0);
        for (const double hz : {100.0, 700.0, 3200.0}) {
            auto decimator = *made;
            std::vector<float> out;
            decimator.process(sine(rate, hz, 0.3), out);
            // The closed form of the same sine at the lower rate, ends left out.
            for (std::size_t n = 200; n < 1500; ++n) {
                const double exact = std::sin(2.0 * std::numbers::pi * hz * static_cast<double>(n) /
                                              made->rate_hz());
                ASSERT_NEAR(out[n], exact, 0.002) << rate << " " << hz << " " << n;
            }
        }
    }
}

TEST(Decimator, WhatWouldFoldIsGone) {
    auto decimator = Decimator::create(48000.0);
    std::vector<float> out;
    decimator->process(sine(48000.0, 8700.0, 0.3), out);  // would fold to 700 Hz
    for (std::size_t n = 200; n < 2000; ++n) ASSERT_LT(std::abs(out[n]), 4e-4);  // -68 dB
}

TEST(Decimator, SameForAnySplit) {
    const auto audio = sine(44100.0, 650.0, 0.5);
    auto whole = *Decimator::create(44100.0), pieces = *Decimator::create(44100.0);
    std::vector<float> a, b;
    whole.process(audio, a);
    for (std::size_t at = 0, n = 1; at < audio.size(); at += n, n = n * 3 % 1009 + 1) {
        pieces.process(std::span<const float>(audio).subspan(at, std::min(n, audio.size() - at)),
                       b);
    }
    EXPECT_EQ(a, b);
}

TEST(Decimator, RatesOutOfRangeAreRefused) {
    EXPECT_FALSE(Decimator::create(7999.0).ok());
    EXPECT_FALSE(Decimator::create(std::nan("")).ok());
}

}  // namespace
}  // namespace skedlark::bench
