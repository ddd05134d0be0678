#include "tests/accuracy/fist/sendings.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::study {
namespace {

// 50-unit word PARIS: 43 units from its first mark to its last one's end, 60 ms each at 20 wpm.
TEST(Sendings, MachineKeyingHasStandardLengths) {
    synth::Random random(1);
    const auto marks = key(as_meant("PARIS").runs, *synth::fist_by_name("machine"), 20.0, random);
    ASSERT_EQ(marks.size(), 14U);
    EXPECT_NEAR(marks.back().off_s - marks.front().on_s, 43 * 0.06, 1e-9);
}

TEST(Sendings, FaultsStandApartAndInTheRuns) {
    synth::Random random(2);
    std::string text;
    for (int i = 0; i < 100; ++i) text += "QWERT YUIOP ";
    const Sending sending = with_faults(text, 12, random);
    EXPECT_GT(sending.faults.size(), 50U);
    for (std::size_t i = 1; i < sending.faults.size(); ++i) {
        EXPECT_GE(sending.faults[i].meant_at, sending.faults[i - 1].meant_at + 3);
    }
    EXPECT_EQ(sending.characters, 1000U);
}

// Power with the key down over that of the noise in 2500 of 4000 Hz, as asked for.
TEST(Sendings, SnrIsAsAsked) {
    const auto audio = sound_of({{1.0, 21.0, true}}, {6.0}, 3);
    double tone = 0.0, noise = 0.0;
    for (std::size_t n = 0; n < 8000; ++n) {
        noise += std::pow(static_cast<double>(audio[n]), 2);
    }
    for (std::size_t n = 16000; n < 160000; ++n) tone += std::pow(static_cast<double>(audio[n]), 2);
    noise /= 8000;
    tone = tone / 144000 - noise;
    EXPECT_NEAR(10.0 * std::log10(tone / (noise * 2500.0 / 4000.0)), 6.0, 0.3);
}

}  // namespace
}  // namespace skedlark::study
