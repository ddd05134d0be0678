#include "dsp/copy/speed_search.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

MarkEvidence evidence_of(const std::vector<tone::BasebandFrame>& frames) {
    MarkEvidence evidence(static_cast<int>(frames.size()) + 1);
    evidence.reset();
    for (const auto& frame : frames) {
        evidence.append(frame, 1.0);
    }
    return evidence;
}

std::vector<tone::BasebandFrame> sent(double wpm, double snr_2500hz_db, std::mt19937_64& random) {
    test::Keying keying;
    keying.up(0.5);
    while (keying.now_s() < 11.0) {
        keying.send(test::random_groups(1, random), wpm);
    }
    return keying.frames(snr_2500hz_db, random);
}

double dot_frames(double wpm) { return 1.2 / wpm * tone::kBasebandRateHz; }

// Dot of 1.2 s over the words a minute (the word PARIS is 50 units); a step of the scan is 5 %.
class Speeds : public ::testing::TestWithParam<double> {};
TEST_P(Speeds, AreFoundWithTheLevelAndSure) {
    std::mt19937_64 random(support::test_seed(91));
    for (const double snr_db : {-6.0, 0.0, 20.0}) {
        MarkEvidence evidence = evidence_of(sent(GetParam(), snr_db, random));
        const FoundSpeed found = find_speed(evidence, 0, SpeedRange::all());
        EXPECT_TRUE(is_sure(found.scan, evidence.size())) << snr_db;
        EXPECT_NEAR(found.scan.scores.front().dot_frames / dot_frames(GetParam()), 1.0, 0.1)
            << snr_db;
        // A strong tone may be taken lower: only Morse's lead counts then.
        EXPECT_NEAR(20.0 * std::log10(found.amplitude / test::amplitude_of(snr_db)), 0.0, 6.5)
            << snr_db;
    }
}
INSTANTIATE_TEST_SUITE_P(Wpm, Speeds, ::testing::Values(12.0, 20.0, 35.0));

TEST(SpeedSearch, NoiseIsNotSure) {
    std::mt19937_64 random(support::test_seed(92));
    for (int run = 0; run < 10; ++run) {
        MarkEvidence evidence =
            evidence_of(test::frames_of(std::vector<double>(2400, 0.0), random));
        EXPECT_FALSE(is_sure(find_speed(evidence, 0, SpeedRange::all()).scan, evidence.size()));
    }
}

// At 15 wpm, a third either way, nothing of 40 wpm has Morse lengths: no level may make it seem so.
TEST(SpeedSearch, ASpeedToldFarWrongIsNotSure) {
    std::mt19937_64 random(support::test_seed(93));
    for (const double snr_db : {0.0, 3.0, 10.0}) {
        MarkEvidence evidence = evidence_of(sent(40.0, snr_db, random));
        const FoundSpeed found = find_speed(evidence, 0, SpeedRange::about(15.0));
        EXPECT_FALSE(is_sure(found.scan, evidence.size())) << snr_db;
    }
}

// Two speeds that explain the frames alike leave doubt, until so much was heard that one must do.
TEST(SpeedSearch, TwoSpeedsAlikeAreNotSureUntilEightSeconds) {
    SpeedScan scan;
    scan.scores = {{10.0, false, 50.0}, {20.0, false, 49.0}};
    EXPECT_FALSE(is_sure(scan, 1599));
    EXPECT_TRUE(is_sure(scan, 1600));
    scan.scores[1].log_evidence = 40.0;
    EXPECT_TRUE(is_sure(scan, 600));
    scan.stray_evidence = 40.0;  // keying without Morse lengths does nearly as well
    EXPECT_FALSE(is_sure(scan, 1600));
}

}  // namespace
}  // namespace skedlark::copy
