#include "dsp/copy/fist_tracker.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

// Lengths drawn log-normally with known mean and cv, rounded to whole frames as reading them off
// the grid does.
struct Maker {
    std::mt19937_64 random;
    std::int64_t now = 0;

    std::int64_t length(const Length& l) {
        const double sigma = std::sqrt(std::log1p(l.cv * l.cv));
        const double x = std::normal_distribution<>(std::log(l.mean_frames) - sigma * sigma / 2.0,
                                                    sigma)(random);
        return std::max<std::int64_t>(1, std::llround(std::exp(x)));
    }
    // Characters of four marks each, dot and dash in turn; every fifth begins a word.
    SampledPath path(const Timing& hand, int characters) {
        SampledPath out;
        for (int i = 0; i < characters; ++i) {
            SampledCharacter character;
            character.complete = true;
            const bool word = i % 5 == 0;
            character.before = i == 0 ? GapKind::open : word ? GapKind::word : GapKind::character;
            now += i == 0 ? 50 : length(word ? hand.word_gap : hand.character_gap);
            for (int m = 0; m < 4; ++m) {
                now += m > 0 ? length(hand.element_gap) : 0;
                const std::int64_t from = now;
                now += length(m % 2 == 1 ? hand.dash : hand.dot);
                character.marks.push_back({from, now, m % 2 == 1});
            }
            out.push_back(character);
        }
        return out;
    }
};

const Timing kTruth{{14.0, 0.10}, {46.0, 0.08}, {13.0, 0.12}, {48.0, 0.20}, {110.0, 0.25}};

// Means to three standard errors of 50 remembered lengths (cv / sqrt(50)); the spread of a spread
// is cv / sqrt(100), plus what the guess still weighs (8 lengths in 58).
TEST(FistTracker, LearnsTheMeansAndSpreadsSent) {
    Maker maker{std::mt19937_64(support::test_seed(51))};
    FistTracker fist;
    fist.start(timing_of(even_hand(), 12.0));
    const SampledPath path = maker.path(kTruth, 400);
    fist.learn({path}, 0.0, static_cast<double>(maker.now));
    const Timing t = fist.timing();
    const auto check = [](const Length& now, const Length& truth, const char* which) {
        EXPECT_NEAR(now.mean_frames / truth.mean_frames, 1.0,
                    3.0 * truth.cv / std::sqrt(50.0) + 0.02)
            << which;
        EXPECT_NEAR(now.cv / truth.cv, 1.0, 0.45) << which;
    };
    check(t.dot, kTruth.dot, "dot");
    check(t.dash, kTruth.dash, "dash");
    check(t.element_gap, kTruth.element_gap, "element gap");
    check(t.character_gap, kTruth.character_gap, "character gap");
    check(t.word_gap, kTruth.word_gap, "word gap");
    EXPECT_NEAR(fist.marks(), 1600.0, 1e-6);
}

// Over everything: 800 dots and dashes, standard error of the mean cv / sqrt(800).
TEST(FistTracker, TotalsAreTheSampleMeansAndSpreads) {
    Maker maker{std::mt19937_64(support::test_seed(52))};
    FistTracker fist;
    fist.start(timing_of(even_hand(), 12.0));
    const SampledPath path = maker.path(kTruth, 400);
    fist.learn({path}, 0.0, static_cast<double>(maker.now));
    const TimingSummary s = fist.totals();
    EXPECT_EQ(s.marks, 1600);
    EXPECT_NEAR(s.dot_s, 14.0 / 200.0, 4.0 * 0.10 / std::sqrt(800.0) * 14.0 / 200.0);
    EXPECT_NEAR(s.dash_s, 46.0 / 200.0, 4.0 * 0.08 / std::sqrt(800.0) * 46.0 / 200.0);
    EXPECT_NEAR(s.element_gap_s, 13.0 / 200.0, 0.001);
    EXPECT_NEAR(s.character_gap_s, 48.0 / 200.0, 0.012);
    EXPECT_NEAR(s.word_gap_s, 110.0 / 200.0, 0.065);
    EXPECT_NEAR(s.dash_to_dot, 46.0 / 14.0, 0.06);
    // Standard error of a cv is cv / sqrt(2 n): 2.5 %; four of them.
    EXPECT_NEAR(s.dot_cv / 0.10, 1.0, 0.12);
    EXPECT_NEAR(s.dash_cv / 0.08, 1.0, 0.12);
    EXPECT_NEAR(s.element_gap_cv / 0.12, 1.0, 0.12);
    EXPECT_NEAR(s.character_gap_cv / 0.20, 1.0, 0.2);
}

// Many readings of the same stretch weigh no more than one.
TEST(FistTracker, CopiesOfAPathChangeNothing) {
    Maker maker{std::mt19937_64(support::test_seed(53))};
    const SampledPath path = maker.path(kTruth, 40);
    const auto to = static_cast<double>(maker.now);
    FistTracker one, many;
    for (FistTracker* fist : {&one, &many}) {
        fist->start(timing_of(even_hand(), 12.0));
    }
    one.learn({path}, 0.0, to);
    many.learn(std::vector<SampledPath>(16, path), 0.0, to);
    EXPECT_NEAR(one.marks(), many.marks(), 1e-9);
    EXPECT_EQ(one.totals().marks, many.totals().marks);
    EXPECT_NEAR(one.totals().dot_s, many.totals().dot_s, 1e-12);
    // Order of arrival differs, so the memory differs a little.
    EXPECT_NEAR(one.timing().dot.mean_frames / many.timing().dot.mean_frames, 1.0, 0.05);
}

// A hand that changes is followed: after 60 characters at the new speed nothing of the old is left
// (memory of 50 lengths, 120 came: e^-2.4 = 9 %).
TEST(FistTracker, ForgetsAnOldHand) {
    Maker maker{std::mt19937_64(support::test_seed(54))};
    FistTracker fist;
    fist.start(kTruth);
    const SampledPath slow = maker.path(kTruth, 400);
    const auto half = static_cast<double>(maker.now);
    const SampledPath fast = maker.path(scaled(kTruth, 0.7), 60);
    fist.learn({slow}, 0.0, half);
    fist.learn({fast}, half, static_cast<double>(maker.now));
    EXPECT_NEAR(fist.timing().dot.mean_frames / (0.7 * 14.0), 1.0, 0.10);
    EXPECT_NEAR(fist.timing().dash.mean_frames / (0.7 * 46.0), 1.0, 0.10);
}

TEST(FistTracker, OnlyMarksThatEndInTheSpanCount) {
    Maker maker{std::mt19937_64(support::test_seed(55))};
    SampledPath path = maker.path(kTruth, 10);
    FistTracker fist;
    fist.start(kTruth);
    const auto third = static_cast<double>(path[2].to());
    const auto fifth = static_cast<double>(path[4].to());
    fist.learn({path}, third, fifth);
    EXPECT_NEAR(fist.marks(), 8.0, 1e-9);
    fist.learn({path}, fifth, fifth);
    EXPECT_NEAR(fist.marks(), 8.0, 1e-9);
    path.back().complete = false;  // still under way: not learned from
    fist.learn({path}, fifth, static_cast<double>(maker.now));
    EXPECT_NEAR(fist.marks(), 8.0 + 16.0, 1e-9);
}

TEST(FistTracker, RelearningDoesNotCount) {
    Maker maker{std::mt19937_64(support::test_seed(56))};
    FistTracker fist;
    fist.start(timing_of(even_hand(), 12.0));
    const SampledPath path = maker.path(kTruth, 60);
    fist.relearn({path}, 0.0, static_cast<double>(maker.now));
    EXPECT_EQ(fist.totals().marks, 0);
    EXPECT_EQ(fist.marks(), 0.0);
    EXPECT_NEAR(fist.timing().dash.mean_frames / 46.0, 1.0, 0.06);
}

TEST(FistTracker, NothingMeasuredIsNoNumber) {
    FistTracker fist;
    fist.start(kTruth);
    EXPECT_TRUE(std::isnan(fist.totals().dot_s));
    EXPECT_TRUE(std::isnan(fist.totals().dash_to_dot));
    EXPECT_TRUE(std::isnan(fist.totals().element_gap_cv));
    EXPECT_EQ(fist.totals().marks, 0);
    // Until something was learned the guess is believed, but for the least and most spread.
    EXPECT_NEAR(fist.timing().dot.mean_frames, 14.0, 0.2);
    Maker maker{std::mt19937_64(support::test_seed(57))};
    const SampledPath path = maker.path(kTruth, 10);
    fist.learn({path}, 0.0, static_cast<double>(maker.now));
    fist.reset();
    fist.start(kTruth);
    EXPECT_EQ(fist.totals().marks, 0);
    EXPECT_TRUE(std::isnan(fist.totals().dot_s));
}

TEST(FistTracker, ProposesItselfFirstAndHandsAround) {
    FistTracker fist;
    fist.start(kTruth);
    const std::vector<Timing> hands = fist.proposals();
    ASSERT_GE(hands.size(), 4U);
    EXPECT_DOUBLE_EQ(hands.front().dot.mean_frames, fist.timing().dot.mean_frames);
    double fastest = 1e9, slowest = 0.0, loosest = 0.0;
    for (const Timing& hand : hands) {
        fastest = std::min(fastest, hand.dot.mean_frames);
        slowest = std::max(slowest, hand.dot.mean_frames);
        loosest = std::max(loosest, hand.dot.cv);
    }
    EXPECT_LT(fastest, 0.95 * hands.front().dot.mean_frames);
    EXPECT_GT(slowest, 1.05 * hands.front().dot.mean_frames);
    EXPECT_GT(loosest, hands.front().dot.cv);
}

}  // namespace
}  // namespace skedlark::copy
