#include "dsp/bench/contact_fit.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <vector>

namespace skedlark::bench {
namespace {

std::vector<float> tone(int length, double cycles, double amplitude, double phase) {
    std::vector<float> audio(static_cast<std::size_t>(length));
    for (std::size_t i = 0; i < audio.size(); ++i) {
        audio[i] = static_cast<float>(
            amplitude * std::cos(2.0 * std::numbers::pi * cycles * static_cast<double>(i) + phase));
    }
    return audio;
}

TEST(ContactFit, AmplitudeOfAnyPhaseAndNoWholeCycles) {
    for (const double phase : {0.0, 0.7, 1.9, 3.0}) {
        const ToneFit fit = fit_tone(tone(97, 0.0147, 0.25, phase), 0.0147);
        EXPECT_NEAR(fit.amplitude, 0.25, 1e-6);
        EXPECT_NEAR(fit.rest_power, 0.0, 1e-10);
    }
}

TEST(ContactFit, WhatIsLeftHasNoTone) {
    auto audio = tone(400, 0.02, 0.3, 0.4);
    audio[200] += 1.0F;
    take_out_tone(audio, 0.02);
    EXPECT_LT(fit_tone(audio, 0.02).amplitude, 1e-6);
    EXPECT_GT(audio[200], 0.9F);
}

TEST(ContactFit, LessThanACycleSaysNothing) {
    EXPECT_EQ(solve_tone({1.0, 0.0, 0.0, 10.0, 0.0}, 10.0).power_taken, 0.0);
}

}  // namespace
}  // namespace skedlark::bench
