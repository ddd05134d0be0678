#include "dsp/tone/pitch_evidence.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <random>

#include "tests/dsp/tone/keyed_signal.h"
#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

constexpr double kDeviation = 0.1;
const std::vector<float> kDensity(257,
                                  static_cast<float>(2.0 * kDeviation * kDeviation / kWorkRateHz));
const std::vector<float> kQuiet(kEvidenceFactors, 1.0F);

TEST(PitchEvidence, NoiseGivesExponentialRatiosOfMeanOne) {
    std::mt19937 random(static_cast<std::mt19937::result_type>(support::test_seed(81)));
    auto evidence = PitchEvidence::create();
    ASSERT_TRUE(evidence.ok());
    double sum = 0.0;
    int over = 0;
    int count = 0;
    for (int trial = 0; trial < 40; ++trial) {
        const auto audio = test::white_noise(kEvidenceSpan / 8000.0, kDeviation, random);
        evidence->measure(audio, kQuiet, kDensity, 15.625, 600, 6000);
        for (std::size_t cell = 600; cell < 6000; cell += 8, ++count) {  // two windows' bins apart
            sum += static_cast<double>(evidence->ratio()[cell]);
            over += evidence->ratio()[cell] > 3.0F ? 1 : 0;
        }
    }
    EXPECT_NEAR(sum / count, 1.0, 0.03);
    EXPECT_NEAR(static_cast<double>(over) / count, std::exp(-3.0), 0.006);
}

// A tone of carrier over noise density c gives c * T / 1.5 with a Hann window.
TEST(PitchEvidence, AToneStandsWhereItIsWithItsEnergy) {
    std::vector<float> audio(kEvidenceSpan);
    const double amplitude = test::amplitude_for(0.0, kDeviation);
    test::add_tone(audio, std::vector<float>(audio.size(), 1.0F), amplitude,
                   [](double) { return 1000.0; });
    auto evidence = PitchEvidence::create();
    ASSERT_TRUE(evidence.ok());
    const support::AllocationCount count;
    evidence->measure(audio, kQuiet, kDensity, 15.625, 0, kEvidenceCells);
    EXPECT_EQ(count.made(), 0);
    const auto ratio = evidence->ratio();
    const auto top = std::max_element(ratio.begin(), ratio.end()) - ratio.begin();
    EXPECT_EQ(top, 2048);
    EXPECT_NEAR(static_cast<double>(ratio[2048]) / (2500.0 * 0.512 / 1.5), 1.0, 0.01);
}

TEST(PitchEvidence, CrashesWeighLittle) {
    std::mt19937 random(static_cast<std::mt19937::result_type>(support::test_seed(82)));
    auto evidence = PitchEvidence::create();
    ASSERT_TRUE(evidence.ok());
    double sum = 0.0;
    for (int trial = 0; trial < 40; ++trial) {
        auto audio = test::white_noise(kEvidenceSpan / 8000.0, kDeviation, random);
        auto factors = kQuiet;
        for (std::size_t slot = 80; slot < 100; ++slot) {
            factors[slot] = 100.0F;
            for (std::size_t n = slot * kStaticHop; n < (slot + 1) * kStaticHop; ++n)
                audio[n] *= 10.0F;
        }
        evidence->measure(audio, factors, kDensity, 15.625, 600, 6000);
        for (std::size_t cell = 600; cell < 6000; cell += 8)
            sum += static_cast<double>(evidence->ratio()[cell]) / (675.0 * 40.0);
    }
    EXPECT_NEAR(sum, 1.0, 0.03);
}

}  // namespace
}  // namespace skedlark::tone
