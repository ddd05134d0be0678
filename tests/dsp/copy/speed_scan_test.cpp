#include "dsp/copy/speed_scan.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

using test::amplitude_of;
using test::frames_of;

// What the copier asks for before it reads anything (kLeastEvidence in copier.cpp), natural
// logarithms.
constexpr double kLockEvidence = 14.0;

MarkEvidence evidence_of(const std::vector<tone::BasebandFrame>& frames, double amplitude) {
    MarkEvidence evidence(static_cast<int>(frames.size()) + 1);
    evidence.reset();
    for (const auto& frame : frames) {
        evidence.append(frame, amplitude);
    }
    return evidence;
}

// Truth by construction; steps of 5 % leave at most 2.5 %, a word or two of text the rest of 6 %.
class SpeedFound : public ::testing::TestWithParam<double> {};
TEST_P(SpeedFound, WithinSixPerCent) {
    const double wpm = GetParam();
    std::mt19937_64 random(support::test_seed(31));
    test::Keying keying;
    keying.up(0.4);
    while (keying.now_s() < 12.0) {
        keying.send(test::random_groups(1, random), wpm);
    }
    auto frames = keying.frames(0.0, random);
    frames.resize(12 * 200);
    const SpeedScan scan =
        scan_speeds(evidence_of(frames, amplitude_of(0.0)), 0, 12 * 200, SpeedRange::all());
    ASSERT_FALSE(scan.scores.empty());
    const double truth = 1.2 / wpm * tone::kBasebandRateHz;  // 50-unit word PARIS
    EXPECT_NEAR(scan.scores.front().dot_frames / truth, 1.0, 0.06);
    EXPECT_GT(scan.scores.front().log_evidence, kLockEvidence);
    EXPECT_GT(scan.scores.front().log_evidence, scan.stray_evidence);
    for (std::size_t i = 1; i < scan.scores.size(); ++i) {
        EXPECT_GE(scan.scores[i - 1].log_evidence, scan.scores[i].log_evidence);
    }
}
INSTANTIATE_TEST_SUITE_P(Wpm, SpeedFound,
                         ::testing::Values(5.0, 8.0, 13.0, 20.0, 30.0, 42.0, 55.0));

// Nothing sent: evidence against noise alone must stay below what the copier asks for. A likelihood
// ratio reaches e^14 under noise in less than one of e^14 trials (Markov's inequality), so any of
// these would be a fault.
TEST(SpeedScan, NoiseGivesNoEvidence) {
    std::mt19937_64 random(support::test_seed(32));
    for (const double snr_db : {-14.0, -8.0, 0.0}) {
        for (int run = 0; run < 2; ++run) {
            const auto frames = frames_of(std::vector<double>(1600, 0.0), random);
            const SpeedScan scan =
                scan_speeds(evidence_of(frames, amplitude_of(snr_db)), 0, 1600, SpeedRange::all());
            EXPECT_LT(scan.scores.front().log_evidence, kLockEvidence) << snr_db;
        }
    }
}

// Key down and up for exponential times: keying, but no hand's. It must look more like stray keying
// than like Morse of any speed.
TEST(SpeedScan, RandomKeyingIsStray) {
    std::mt19937_64 random(support::test_seed(33));
    for (int run = 0; run < 3; ++run) {
        std::exponential_distribution<> down(1.0 / 0.12), up(1.0 / 0.15);
        test::Keying keying;
        while (keying.now_s() < 12.0) {
            keying.up(0.01 + up(random));
            keying.down(0.01 + down(random));
        }
        auto frames = keying.frames(3.0, random);
        frames.resize(2400);
        const SpeedScan scan =
            scan_speeds(evidence_of(frames, amplitude_of(3.0)), 0, 2400, SpeedRange::all());
        EXPECT_GT(scan.stray_evidence, scan.scores.front().log_evidence);
    }
}

TEST(SpeedScan, CarrierIsStray) {
    std::mt19937_64 random(support::test_seed(34));
    const double a = amplitude_of(0.0);
    const auto frames = frames_of(std::vector<double>(1600, a), random);
    const SpeedScan scan = scan_speeds(evidence_of(frames, a), 0, 1600, SpeedRange::all());
    EXPECT_GT(scan.stray_evidence, scan.scores.front().log_evidence);
}

TEST(SpeedScan, CurrentLengthsAreJudgedOnTheSameScale) {
    std::mt19937_64 random(support::test_seed(35));
    test::Keying keying;
    keying.up(0.3);
    keying.send(test::random_groups(3, random), 25.0);
    const auto frames = keying.frames(0.0, random);
    const MarkEvidence evidence = evidence_of(frames, amplitude_of(0.0));
    const auto size = static_cast<std::int64_t>(frames.size());
    const SpeedScan first = scan_speeds(evidence, 0, size, SpeedRange::all());
    const Timing right = first.scores.front().timing();
    const Timing wrong = scaled(right, 1.5);
    EXPECT_NEAR(scan_speeds(evidence, 0, size, SpeedRange::all(), &right).current_evidence,
                first.scores.front().log_evidence, 1e-3);
    EXPECT_LT(scan_speeds(evidence, 0, size, SpeedRange::all(), &wrong).current_evidence,
              first.scores.front().log_evidence - 10.0);
}

// dit = 1.2 s / wpm (PARIS), 200 frames a second: 60 to 4 wpm are 4 to 60 frames.
TEST(SpeedScan, RangesAreInFrames) {
    EXPECT_NEAR(SpeedRange::all().least_dot_frames, 4.0, 1e-9);
    EXPECT_NEAR(SpeedRange::all().most_dot_frames, 60.0, 1e-9);
    EXPECT_NEAR(SpeedRange::about(20.0).least_dot_frames, 12.0 / (4.0 / 3.0), 1e-9);
    EXPECT_NEAR(SpeedRange::about(20.0).most_dot_frames, 12.0 * 4.0 / 3.0, 1e-9);
    // Only speeds of the range are tried, one step of grace at its upper end.
    std::mt19937_64 random(support::test_seed(36));
    const auto frames = frames_of(std::vector<double>(400, 0.0), random);
    for (const SpeedScore& score :
         scan_speeds(evidence_of(frames, 1.0), 0, 400, SpeedRange::about(20.0)).scores) {
        EXPECT_GE(score.dot_frames, 9.0 - 1e-9);
        EXPECT_LE(score.dot_frames, 16.0 * (1.0 + kSpeedStep));
    }
}

TEST(SpeedScan, SilenceAndOneFrameDoNoHarm) {
    const std::vector<tone::BasebandFrame> silence(600);
    const MarkEvidence evidence = evidence_of(silence, 1.0);
    for (const std::int64_t to : {0, 1, 2, 600}) {
        const SpeedScan scan = scan_speeds(evidence, 0, to, SpeedRange::all());
        ASSERT_FALSE(scan.scores.empty());
        EXPECT_TRUE(std::isfinite(scan.scores.front().log_evidence)) << to;
        EXPECT_LT(scan.scores.front().log_evidence, 1.0) << to;
    }
}

}  // namespace
}  // namespace skedlark::copy
