#include "dsp/copy/call_lattice.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

constexpr double kWpm = 20.0;
constexpr double kDotFrames = 1.2 / kWpm * tone::kBasebandRateHz;

std::vector<CallFrame> prepared(const std::vector<tone::BasebandFrame>& frames) {
    CallFrames prepare;
    std::vector<CallFrame> out;
    for (const tone::BasebandFrame& frame : frames) out.push_back(prepare.take(frame));
    return out;
}

std::vector<CallFrame> sent(std::string_view text, double snr_2500hz_db, std::mt19937_64& random,
                            double silence_s = 1.0) {
    test::Keying keying;
    keying.up(silence_s);
    keying.send(text, kWpm);
    keying.up(0.3);
    return prepared(keying.frames(snr_2500hz_db, random));
}

double odds_after(std::span<const CallFrame> frames, const std::vector<std::string>& calls,
                  std::size_t call = 0) {
    CallLattice lattice(kDotFrames, calls);
    lattice.process(frames);
    return lattice.log_heard(call) - lattice.log_not_heard(call);
}

TEST(CallLattice, ACallStandsOutOfAllElse) {
    std::mt19937_64 random(support::test_seed(31));
    for (const double snr : {-10.0, 0.0, 20.0}) {
        const auto frames = sent("QVA7 QVA7", snr, random);
        EXPECT_GT(odds_after(frames, {"QVA7"}), 8.0) << snr;
        EXPECT_LT(odds_after(frames, {"QXB2"}), -5.0) << snr;
        // Two that are expected are rivals of each other.
        EXPECT_GT(odds_after(frames, {"QXB2", "QVA7"}, 1), 8.0) << snr;
        EXPECT_LT(odds_after(frames, {"QXB2", "QVA7"}, 0), -8.0) << snr;
    }
}

TEST(CallLattice, NeitherNoiseNorOtherTextNorAHeldKeyIsACall) {
    std::mt19937_64 random(support::test_seed(32));
    EXPECT_LT(
        odds_after(prepared(test::frames_of(std::vector<double>(4000, 0.0), random)), {"QVA7"}),
        0.0);
    EXPECT_LT(odds_after(sent("THE HUT IS OPEN AGAIN", -4.0, random), {"QVA7"}), 0.0);
    for (const double snr : {-20.0, -10.0, 10.0}) {
        const std::vector<double> held(4000, test::amplitude_of(snr));
        EXPECT_LT(odds_after(prepared(test::frames_of(held, random)), {"QVA7"}), 0.0) << snr;
    }
}

TEST(CallLattice, AnySplitGivesTheSame) {
    std::mt19937_64 random(support::test_seed(33));
    const auto frames = sent("QVA7 QVA7", -12.0, random);
    const std::vector<std::string> calls = {"QVA7"};
    CallLattice whole(kDotFrames, calls);
    whole.process(frames);
    CallLattice parts(kDotFrames, calls);
    for (std::span<const CallFrame> left(frames); !left.empty();) {
        const auto some = left.first(std::min<std::size_t>(left.size(), 1 + random() % 97));
        parts.process(some);
        left = left.subspan(some.size());
    }
    EXPECT_DOUBLE_EQ(whole.log_heard(0), parts.log_heard(0));
    EXPECT_DOUBLE_EQ(whole.log_total(), parts.log_total());
}

std::vector<CallFrame> raw_noise(int count, std::mt19937_64& random) {
    std::vector<CallFrame> out;
    for (int i = 0; i < count; ++i) {
        const std::complex<float> z = test::noise(random);
        out.push_back({z.real(), z.imag(), 1.0F});
    }
    return out;
}

// Where no frame says anything every explanation is worth its chance, and chances sum to 1. The
// longest gaps are cut at what the past holds, which loses a little: 0.24 % in 1.5 s was seen, and
// the lower limit is no theory but twice that.
TEST(CallLattice, ChancesSumToOneWhereNothingIsHeard) {
    const std::vector<std::string> calls = {"QVA7"};
    CallLattice lattice(kDotFrames, calls);
    lattice.process(std::vector<CallFrame>(300));
    EXPECT_LE(std::exp(lattice.log_total()), 1.0 + 1e-6);
    EXPECT_GT(std::exp(lattice.log_total()), 0.995);
}

// The mean of a ratio of likelihoods under its denominator is 1 (its integral is that of the
// numerator, a density). Marks are held down where they are louder than their level, which only
// takes from it: the mean is at most 1, but for the error of a mean of so many.
TEST(CallLattice, MeanRatioUnderNoiseIsNotAboveOne) {
    std::mt19937_64 random(support::test_seed(34));
    const std::vector<std::string> calls = {"QVA7"};
    constexpr int kRuns = 600;
    double sum = 0.0;
    double squares = 0.0;
    for (int run = 0; run < kRuns; ++run) {
        CallLattice lattice(kDotFrames, calls);
        lattice.process(raw_noise(300, random));
        const double ratio = std::exp(lattice.log_total());
        sum += ratio;
        squares += ratio * ratio;
    }
    const double mean = sum / kRuns;
    const double error = std::sqrt((squares / kRuns - mean * mean) / kRuns);
    RecordProperty("mean", std::to_string(mean));
    RecordProperty("error", std::to_string(error));
    EXPECT_LT(mean, 1.0 + 4.0 * error);
    // What never leaves silence (key, stray, hold, call: 0.0903 a second) is worth 1 whatever is
    // heard.
    EXPECT_GT(mean, std::pow(1.0 - 0.0903 * 0.01, 150));
}

TEST(CallLattice, WhatWasToldIsForgotten) {
    std::mt19937_64 random(support::test_seed(35));
    const std::vector<std::string> calls = {"QVA7"};
    CallLattice lattice(kDotFrames, calls);
    lattice.process(sent("QVA7 QVA7", -6.0, random));
    const double total = lattice.log_total();
    lattice.forget(0);
    EXPECT_LT(lattice.log_heard(0) - lattice.log_not_heard(0), -30.0);
    EXPECT_NEAR(lattice.log_total(), total, 1.5);
    lattice.process(sent("QVA7 QVA7", -6.0, random));
    EXPECT_GT(lattice.log_heard(0) - lattice.log_not_heard(0), 8.0);
}

}  // namespace
}  // namespace skedlark::copy
