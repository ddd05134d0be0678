#include "dsp/synth/programme.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

constexpr double kRate = 12000.0;

TEST(Programme, SoundsLouderAndSofterWithinItsBounds) {
    for (const ProgrammeKind kind : {ProgrammeKind::speech, ProgrammeKind::music}) {
        Programme programme(kind, kRate, probe::test_seed());
        double square = 0.0;
        double mean = 0.0;
        double loudest = 0.0;
        double softest = 1e9;
        constexpr int kPieces = 240;
        constexpr int kPiece = 3000;  // a quarter of a second
        for (int piece = 0; piece < kPieces; ++piece) {
            double power = 0.0;
            for (int n = 0; n < kPiece; ++n) {
                const double value = programme.next();
                ASSERT_LE(std::abs(value), 1.0);
                power += value * value / kPiece;
                mean += value / kPiece / kPieces;
            }
            square += power / kPieces;
            loudest = std::max(loudest, power);
            softest = std::min(softest, power);
        }
        // Mean square 0.1 while it sounds, which is most of the time.
        EXPECT_GT(square, 0.02);
        EXPECT_LT(square, 0.2);
        EXPECT_NEAR(mean, 0.0, 0.03);
        EXPECT_GT(loudest, 4.0 * softest);
    }
}

TEST(Programme, NoneIsSilent) {
    Programme programme(ProgrammeKind::none, kRate, 1);
    for (int n = 0; n < 100; ++n) EXPECT_EQ(programme.next(), 0.0);
}

}  // namespace
}  // namespace skedlark::synth
