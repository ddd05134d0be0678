#include "dsp/copy/mark_evidence.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "dsp/copy/gain_scores.h"
#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

using test::frames_of;

MarkEvidence evidence_of(const std::vector<tone::BasebandFrame>& frames, double amplitude,
                         const MarkMix& mix = MarkMix{}) {
    MarkEvidence evidence(static_cast<int>(frames.size()) + 1);
    evidence.reset();
    evidence.mix = mix;
    for (const auto& frame : frames) {
        evidence.append(frame, amplitude);
    }
    return evidence;
}

// S and W of the header, plainly. error: share of the level's power taken as noise.
struct Sums {
    std::complex<double> s;
    double w = 0.0;
};
Sums sums_of(const std::vector<tone::BasebandFrame>& frames, std::size_t from, std::size_t to,
             double a, double error = 0.0) {
    Sums sums;
    for (std::size_t i = from; i < to; ++i) {
        const double v = static_cast<double>(frames[i].noise_variance) + error * a * a;
        sums.s += a * std::complex<double>(frames[i].z) / v;
        sums.w += a * a / v;
    }
    return sums;
}
double steady_score(const Sums& sums) {
    return std::log(std::cyl_bessel_i(0.0, 2.0 * std::abs(sums.s))) - sums.w;
}

// Known level, unknown phase: ln I0(2 |S|) - W (Van Trees, Detection, Estimation and Modulation
// Theory I, section 4.4, from memory).
TEST(MarkEvidence, SteadyScoreIsThePlainFormula) {
    std::mt19937_64 random(support::test_seed(11));
    for (const double a : {0.1, 0.3, 1.1}) {
        auto frames = frames_of(std::vector<double>(60, a), random);
        for (std::size_t i = 0; i < frames.size(); ++i) {
            frames[i].noise_variance = 1.0F + 0.02F * static_cast<float>(i);
        }
        const MarkEvidence evidence = evidence_of(frames, a, {1.0, 0.0, 0.0, 0.0, 0.0, 0.0});
        for (const auto& [from, to] : {std::pair<int, int>{0, 60}, {7, 19}, {30, 31}}) {
            EXPECT_NEAR(evidence.log_ratio(from, to), steady_score(sums_of(frames, from, to, a)),
                        5e-4)
                << a << " " << from;
        }
    }
}

// Strong tones leave something that is not the model's, taken as noise (comment at kModelError in
// the source): the score is between the plain formula's and one with a fifth of the level as noise.
TEST(MarkEvidence, StrongTonesCountForLess) {
    std::mt19937_64 random(support::test_seed(21));
    const double a = 3.0;
    const auto frames = frames_of(std::vector<double>(12, a), random);
    const double score = evidence_of(frames, a, {1.0, 0.0, 0.0, 0.0, 0.0, 0.0}).log_ratio(0, 12);
    EXPECT_LT(score, steady_score(sums_of(frames, 0, 12, a)));
    EXPECT_GT(score, steady_score(sums_of(frames, 0, 12, a, 0.2)));
}

// A gain that is complex Gaussian of mean power 1: the steady likelihood ratio averaged over the
// gain's size r, density 2 r exp(-r^2), here by Simpson's rule in double.
TEST(MarkEvidence, FadingScoreIsTheIntegralOverTheGain) {
    std::mt19937_64 random(support::test_seed(12));
    for (const double a : {0.1, 0.3, 1.0}) {
        const auto frames = frames_of(std::vector<double>(24, 0.8 * a), random);
        const MarkEvidence evidence = evidence_of(frames, a, {0.0, 1.0, 0.0, 0.0, 0.0, 0.0});
        const Sums sums = sums_of(frames, 3, 21, a);
        const auto integrand = [&](double r) {
            return 2.0 * r * std::exp(-r * r * (1.0 + sums.w)) *
                   std::cyl_bessel_i(0.0, 2.0 * r * std::abs(sums.s));
        };
        constexpr int kSteps = 4000;
        constexpr double kStep = 6.0 / kSteps;
        double integral = 0.0;
        for (int i = 0; i < kSteps; i += 2) {
            integral += kStep / 3.0 *
                        (integrand(i * kStep) + 4.0 * integrand((i + 1) * kStep) +
                         integrand((i + 2) * kStep));
        }
        EXPECT_NEAR(evidence.log_ratio(3, 21), std::log(integral), 1e-4) << a;
    }
}

// A likelihood ratio's mean under noise alone is 1 (its definition, integrated). Weak marks, for
// which no part of the level is taken as noise. The rough reading is a geometric mean of
// overlapping ratios; by Hoelder's inequality its mean is at most 1.
TEST(MarkEvidence, MeanRatioUnderNoiseIsOne) {
    std::mt19937_64 random(support::test_seed(13));
    constexpr double kAmplitude = 0.2;
    constexpr int kLength = 20, kRuns = 20000;
    const auto frames = frames_of(std::vector<double>(kLength * kRuns, 0.0), random);
    const auto check = [&](const MarkMix& mix, bool at_most) {
        const MarkEvidence evidence = evidence_of(frames, kAmplitude, mix);
        double sum = 0.0, squares = 0.0;
        for (int run = 0; run < kRuns; ++run) {
            const double ratio =
                std::exp(evidence.log_ratio(run * kLength, run * kLength + kLength));
            sum += ratio;
            squares += ratio * ratio;
        }
        const double mean = sum / kRuns;
        const double error = std::sqrt((squares / kRuns - mean * mean) / kRuns);
        EXPECT_LT(mean, 1.0 + 4.0 * error);
        if (!at_most) {
            EXPECT_GT(mean, 1.0 - 4.0 * error);
        }
    };
    check({1.0, 0.0, 0.0, 0.0, 0.0, 0.0}, false);
    check({0.0, 1.0, 0.0, 0.0, 0.0, 0.0}, false);
    check({0.0, 0.0, 0.0, 1.0, 0.0, 0.0}, true);
    check({0.0, 0.0, 0.0, 0.0, 1.0, 0.0}, false);
    check({0.5, 0.5, 0.0, 0.0, 0.0, 0.0}, false);
}

TEST(MarkEvidence, MixtureIsTheSumOfItsParts) {
    std::mt19937_64 random(support::test_seed(14));
    const auto frames = frames_of(std::vector<double>(40, 1.0), random);
    MarkEvidence evidence = evidence_of(frames, 1.1);
    const auto alone = [&](const MarkMix& mix) {
        evidence.mix = mix;
        return std::exp(evidence.log_ratio(5, 35));
    };
    const double steady = alone({1, 0, 0, 0, 0, 0.0}), fading = alone({0, 1, 0, 0, 0, 0.0}),
                 rough = alone({0, 0, 0, 1, 0, 0.0}), torn = alone({0, 0, 0, 0, 1, 0.0});
    const double mixed = alone({0.6, 0.2, 0.0, 0.1, 0.1, 0.0});
    EXPECT_NEAR(mixed / (0.6 * steady + 0.2 * fading + 0.1 * rough + 0.1 * torn), 1.0, 1e-5);
    const MarkMix shares = evidence.shares(5, 35);
    EXPECT_NEAR(shares.steady, 0.6 * steady / mixed, 1e-5);
    EXPECT_NEAR(shares.fading, 0.2 * fading / mixed, 1e-5);
    EXPECT_NEAR(shares.steady + shares.fading + shares.rough + shares.torn, 1.0, 1e-5);
}

// Whatever the note's phase does, a reading must stand it: here the phase is new in every
// dot's third, as in a hoarse note.
TEST(MarkEvidence, ANoteWithoutPhaseIsCarried) {
    std::mt19937_64 random(support::test_seed(15));
    std::vector<tone::BasebandFrame> frames;
    for (int part = 0; part < 8; ++part) {
        const auto more = frames_of(std::vector<double>(3, 3.0), random);
        frames.insert(frames.end(), more.begin(), more.end());
    }
    const MarkEvidence evidence = evidence_of(frames, 3.0);
    const MarkMix shares = evidence.shares(0, 24);
    EXPECT_GT(shares.turning + shares.rough + shares.torn, 0.9);
    EXPECT_GT(evidence.log_ratio(0, 24), 20.0);
}

// A tone 2.5 Hz beside the pitch it was taken down by turns 0.6 times in a dash of 230 ms: in phase
// that leaves sinc(0.6)^2 = 0.25 of its energy (from the definition), not enough to be a mark.
TEST(MarkEvidence, TurningReadingCarriesAToneBesideThePitch) {
    std::mt19937_64 random(support::test_seed(18));
    const double a = 3.0;
    auto frames = frames_of(std::vector<double>(46, a), random);
    for (std::size_t i = 0; i < frames.size(); ++i) {
        const double turn = 2.0 * M_PI * 2.5 * static_cast<double>(i) / tone::kBasebandRateHz;
        frames[i].z =
            std::complex<float>(std::complex<double>(frames[i].z) * std::polar(1.0, turn));
    }
    // The gain that is carried may turn, too.
    const MarkEvidence evidence = evidence_of(frames, a, {0.88, 0.08, 0.02, 0.01, 0.01, 0.0});
    const MarkMix shares = evidence.shares(0, 46);
    EXPECT_GT(shares.turning, 0.9);
    EXPECT_GT(evidence.log_ratio(0, 46), 150.0);
    EXPECT_NEAR(evidence.relative_power(0, 46, shares), 1.0, 0.2);
}

// A chirp: 80 Hz off at the start, settling with 50 ms, as a weak crystal is pulled. The whole mark
// must beat any two marks that it could be cut into, or each such mark would be read as two.
TEST(MarkEvidence, AChirpIsOneMark) {
    std::mt19937_64 random(support::test_seed(19));
    const double a = 3.5;
    auto frames = frames_of(std::vector<double>(46, a), random);
    double turns = 0.0;
    for (std::size_t i = 0; i < frames.size(); ++i) {
        const double since_s = static_cast<double>(i) / tone::kBasebandRateHz;
        turns += 80.0 * std::exp(-since_s / 0.05) / tone::kBasebandRateHz;
        frames[i].z = std::complex<float>(std::complex<double>(frames[i].z) *
                                          std::polar(1.0, 2.0 * M_PI * turns));
    }
    const MarkEvidence evidence = evidence_of(frames, a);
    const double whole = evidence.log_ratio(0, 46);
    EXPECT_GT(whole, 100.0);
    for (std::int64_t cut = 8; cut <= 38; ++cut) {
        // 12: two marks without a gap between them are about this unlikely.
        EXPECT_GT(whole + 12.0, evidence.log_ratio(0, cut) + evidence.log_ratio(cut, 46)) << cut;
    }
}

TEST(MarkEvidence, RelevelIsTheSameAsAppendingWithThatLevel) {
    std::mt19937_64 random(support::test_seed(16));
    const auto frames = frames_of(std::vector<double>(80, 1.0), random);
    const MarkEvidence wanted = [&] {
        MarkEvidence e(128);
        e.reset();
        for (std::size_t i = 0; i < frames.size(); ++i) {
            e.append(frames[i], i < 30 ? 0.7 : 1.3);
        }
        return e;
    }();
    MarkEvidence changed(128);
    changed.reset();
    for (const auto& frame : frames) {
        changed.append(frame, 0.7);
    }
    changed.relevel(30, 1.3);
    for (int from = 0; from < 80; from += 7) {
        for (int to = from + 1; to <= 80; to += 5) {
            EXPECT_DOUBLE_EQ(changed.log_ratio(from, to), wanted.log_ratio(from, to));
        }
    }
    EXPECT_EQ(changed.amplitude(29), 0.7);
    EXPECT_EQ(changed.amplitude(30), 1.3);
}

// All marks that end at one frame at once have the scores they have one by one, up to the first
// that is hopeless.
TEST(MarkEvidence, ManyScoresAreThoseOfEach) {
    for (const double a : {0.2, 1.0, 8.0}) {
        std::mt19937_64 random(support::test_seed(98));
        std::vector<double> levels(400, a);
        std::fill(levels.begin() + 100, levels.begin() + 160, 0.0);
        const MarkEvidence evidence = evidence_of(frames_of(levels, random), a);
        GainScores carried;
        carried.begin(0);
        for (const std::int64_t to : {1, 5, 60, 130, 161, 250, 400}) {
            while (carried.now() < to) carried.advance(evidence, kLongestMark);
            std::vector<float> scores(1000);
            const int count = evidence.log_ratios(to, scores, carried.scores());
            const auto most = static_cast<int>(std::min<std::int64_t>(to, kLongestMark));
            for (int length = 1; length <= count; ++length) {
                const double one = evidence.log_ratio(to - length, to);
                EXPECT_GE(one, kHopelessMark - 1e-3);
                EXPECT_NEAR(static_cast<double>(scores[static_cast<std::size_t>(length - 1)]), one,
                            1e-3 + 1e-5 * std::abs(one))
                    << a << " " << to << " " << length;
            }
            if (count < most) {
                EXPECT_LT(evidence.log_ratio(to - count - 1, to), kHopelessMark + 1e-3);
            }
        }
        std::vector<float> few(3);
        EXPECT_EQ(evidence.log_ratios(60, few), 3);
    }
}

// A stretch with no audio speaks neither way, whatever stands in its frames; but for the rough
// reading's two frames of memory.
TEST(MarkEvidence, LostFramesCarryNothing) {
    std::mt19937_64 random(support::test_seed(17));
    auto frames = frames_of(std::vector<double>(60, 1.0), random);
    for (std::size_t i = 20; i < 40; ++i) {
        frames[i].lost = true;
    }
    const MarkEvidence noisy = evidence_of(frames, 1.0);
    EXPECT_NEAR(noisy.log_ratio(22, 40), 0.0, 1e-6);
    for (const float junk : {0.0F, 1e6F, std::numeric_limits<float>::quiet_NaN(),
                             std::numeric_limits<float>::infinity()}) {
        for (std::size_t i = 20; i < 40; ++i) {
            frames[i].z = {junk, junk};
        }
        const MarkEvidence other = evidence_of(frames, 1.0);
        EXPECT_DOUBLE_EQ(other.log_ratio(22, 40), noisy.log_ratio(22, 40)) << junk;
        EXPECT_DOUBLE_EQ(other.log_ratio(10, 50), noisy.log_ratio(10, 50)) << junk;
    }
    // So does one that nobody called lost, where it holds no number.
    for (const float junk :
         {std::numeric_limits<float>::quiet_NaN(), std::numeric_limits<float>::infinity()}) {
        for (std::size_t i = 20; i < 40; ++i) {
            frames[i].lost = false;
            frames[i].z = {junk, junk};
        }
        const MarkEvidence other = evidence_of(frames, 1.0);
        EXPECT_DOUBLE_EQ(other.log_ratio(10, 50), noisy.log_ratio(10, 50)) << junk;
    }
    const MarkEvidence steady = evidence_of(frames, 1.0, {1.0, 0.0, 0.0, 0.0, 0.0, 0.0});
    EXPECT_NEAR(steady.log_ratio(10, 20), steady.log_ratio(10, 40), 1e-6);
}

// A crash of static in one frame must not outweigh a whole mark, even where the noise is not told
// to have risen.
TEST(MarkEvidence, OneLoudFrameIsLimited) {
    std::mt19937_64 random(support::test_seed(18));
    auto frames = frames_of(std::vector<double>(20, 0.0), random);
    const double quiet = evidence_of(frames, 1.0).log_ratio(0, 12);
    frames[5].z = {1000.0F, 0.0F};
    EXPECT_LT(evidence_of(frames, 1.0).log_ratio(0, 12), quiet + 12.0);
}

// Gain squared by maximum likelihood: |S|^2 / W^2, of which 1 / W is noise; mean over many marks is
// the true ratio of powers (from the formula), within four standard errors.
TEST(MarkEvidence, RelativePowerIsUnbiased) {
    std::mt19937_64 random(support::test_seed(19));
    constexpr int kRuns = 4000;
    const double a = 0.5, truth = 0.8;
    double sum = 0.0, squares = 0.0;
    for (int run = 0; run < kRuns; ++run) {
        const auto frames = frames_of(std::vector<double>(16, truth * a), random);
        const double power =
            evidence_of(frames, a).relative_power(0, 16, {1.0, 0.0, 0.0, 0.0, 0.0, 0.0});
        sum += power;
        squares += power * power;
    }
    const double mean = sum / kRuns;
    const double error = std::sqrt((squares / kRuns - mean * mean) / kRuns);
    EXPECT_NEAR(mean, truth * truth, 4.0 * error);
}

// The ring keeps the last frames only, with the same answers as one that keeps all.
TEST(MarkEvidence, RingGivesTheSameAnswers) {
    std::mt19937_64 random(support::test_seed(20));
    const auto frames = frames_of(std::vector<double>(1000, 0.9), random);
    const MarkEvidence all = evidence_of(frames, 0.9);
    MarkEvidence ring(64);
    ring.reset();
    const support::AllocationCount count;
    for (const auto& frame : frames) {
        ring.append(frame, 0.9);
    }
    double least = 0.0;
    for (std::int64_t from = ring.oldest(); from < 1000; ++from) {
        least = std::max(least, std::abs(ring.log_ratio(from, 1000) - all.log_ratio(from, 1000)));
    }
    EXPECT_EQ(count.made(), 0);
    EXPECT_LT(least, 1e-6);
    EXPECT_EQ(ring.size(), 1000);
    EXPECT_LE(ring.oldest(), 1000 - 63);
}

TEST(MarkEvidence, SilenceSpeaksAgainstAMark) {
    const std::vector<tone::BasebandFrame> silence(40);
    const MarkEvidence evidence = evidence_of(silence, 1.0);
    EXPECT_LT(evidence.log_ratio(0, 12), -1.0);
    EXPECT_TRUE(std::isfinite(evidence.log_ratio(0, 40)));
    // A constant is a carrier: a mark of any length, the likelier the longer.
    std::vector<tone::BasebandFrame> constant(40);
    for (auto& frame : constant) {
        frame.z = {1.0F, 0.0F};
    }
    const MarkEvidence carrier = evidence_of(constant, 1.0);
    EXPECT_GT(carrier.log_ratio(0, 40), carrier.log_ratio(0, 20));
    EXPECT_GT(carrier.log_ratio(0, 20), 0.0);
}

}  // namespace
}  // namespace skedlark::copy
