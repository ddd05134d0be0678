#include "dsp/fist/copy_score.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/core/units.h"
#include "dsp/morse/code_table.h"
#include "dsp/synth/random.h"

namespace skedlark::fist {
namespace {

using Names = std::vector<std::string>;

Names names(const std::string& text) { return *morse::scoring_symbols(text); }

Names without_gaps(const Names& text) {
    Names out;
    for (const std::string& name : text) {
        if (name != " ") out.push_back(name);
    }
    return out;
}

// The usual published pairs; the third is by hand.
TEST(CopyScore, EditDistanceOfPublishedPairs) {
    EXPECT_EQ(edit_distance(names("KITTEN"), names("SITTING")), 3);
    EXPECT_EQ(edit_distance(names("SATURDAY"), names("SUNDAY")), 3);
    EXPECT_EQ(edit_distance(names("SUNDAY"), names("SATURDAY")), 3);
    EXPECT_EQ(edit_distance(names("ABC"), names("ABC")), 0);
    EXPECT_EQ(edit_distance({}, names("ABC")), 3);
    EXPECT_EQ(edit_distance(names("ABC"), {}), 3);
}

TEST(CopyScore, KittenAndSittingMarkByMark) {
    const auto score = copy_score(names("KITTEN"), names("SITTING"));
    ASSERT_TRUE(score);
    EXPECT_EQ(score->sent, 6);
    EXPECT_EQ(score->right, 4);
    EXPECT_EQ(score->wrong, 2);
    EXPECT_EQ(score->extra, 1);
    ASSERT_EQ(score->pairs.size(), 2U);
    EXPECT_EQ(score->pairs[0].sent, "E");
    EXPECT_EQ(score->pairs[0].typed, "I");
    EXPECT_EQ(score->pairs[1].sent, "K");
    EXPECT_EQ(score->pairs[1].typed, "S");
    EXPECT_DOUBLE_EQ(score->right_share(), 4.0 / 7.0);
}

TEST(CopyScore, PairsAreCountedAndTheMostFrequentStandsFirst) {
    const auto score = copy_score(names("ABHHS HHXYZ"), names("ABSSS SHX_Z"));
    ASSERT_TRUE(score);
    ASSERT_EQ(score->pairs.size(), 1U);
    EXPECT_EQ(score->pairs[0].sent, "H");
    EXPECT_EQ(score->pairs[0].typed, "S");
    EXPECT_EQ(score->pairs[0].count, 3);
    EXPECT_EQ(score->open, 1);
    EXPECT_EQ(score->wrong, 3);
    EXPECT_EQ(score->by_character.at("H").sent, 4.0);
    EXPECT_EQ(score->by_character.at("H").wrong, 3.0);
    EXPECT_EQ(score->by_character.at("Y").wrong, 1.0);
    EXPECT_EQ(score->by_character.at("S").wrong, 0.0);
}

TEST(CopyScore, GapsAreCountedApart) {
    const auto joined = copy_score(names("ALL WELL AT"), names("ALLWELLAT"));
    ASSERT_TRUE(joined);
    EXPECT_EQ(joined->right, 9);
    EXPECT_DOUBLE_EQ(joined->right_share(), 1.0);
    EXPECT_EQ(joined->gaps_sent, 2);
    EXPECT_EQ(joined->gaps_right, 0);
    const auto parted = copy_score(names("ALL WELL"), names("A L L WE LL"));
    ASSERT_TRUE(parted);
    EXPECT_EQ(parted->right, 7);
    EXPECT_EQ(parted->gaps_right, 1);
    EXPECT_EQ(parted->gaps_extra, 3);
}

// Code table: [AR] and + have one pattern, [BT] and = as well.
TEST(CopyScore, WhatSoundsAlikeIsRight) {
    const auto score = copy_score(names("ALL [BT] OK [AR] [SK]"), names("all = ok + [VA]"));
    ASSERT_TRUE(score);
    EXPECT_EQ(score->right, 8);
    EXPECT_EQ(score->wrong + score->missing + score->extra, 0);
}

// Whatever is typed: errors are the edit distance of the characters, and every symbol of both texts
// stands in the steps in its order.
TEST(CopyScore, FewestErrorsWhateverIsTyped) {
    synth::Random random(1000);
    for (int trial = 0; trial < 300; ++trial) {
        const auto draw = [&](int most) {
            Names out;
            const int length = 1 + random.below(most);
            for (int i = 0; i < length; ++i) {
                const char c = "ABCD  "[random.below(6)];
                out.emplace_back(1, c);
            }
            return out;
        };
        const Names sent = draw(25);
        const Names typed = draw(25);
        const auto score = copy_score(sent, typed);
        ASSERT_TRUE(score);
        EXPECT_EQ(score->wrong + score->missing + score->extra,
                  edit_distance(without_gaps(sent), without_gaps(typed)));
        EXPECT_EQ(score->sent, score->right + score->wrong + score->missing);
        Names sent_again;
        Names typed_again;
        for (const CopyStep& step : score->steps) {
            if (!step.sent.empty()) sent_again.push_back(step.sent);
            if (!step.typed.empty()) typed_again.push_back(step.typed);
        }
        EXPECT_EQ(sent_again, sent);
        EXPECT_EQ(typed_again, typed);
    }
}

TEST(CopyScore, EmptyAndTooLongAreRefused) {
    EXPECT_FALSE(copy_score({}, names("A")));
    EXPECT_FALSE(copy_score(names("A"), {}));
    EXPECT_FALSE(copy_score(Names(kLongestCopy + 1, "A"), names("A")));
    EXPECT_TRUE(copy_score(Names(kLongestCopy, "A"), names("A")));
}

TEST(NextSpeed, NineInTenStaysMoreGoesUpLessGoesDown) {
    EXPECT_NEAR(next_speed_wpm(15.0, 90, 100), 15.0, 1e-9);
    EXPECT_GT(next_speed_wpm(15.0, 96, 100), 15.2);
    EXPECT_LT(next_speed_wpm(15.0, 75, 100), 14.5);
    // A fifth at most, less after a short text, and never out of the range that is keyed.
    EXPECT_LE(next_speed_wpm(15.0, 1000, 1000), 18.0 + 1e-9);
    EXPECT_GE(next_speed_wpm(15.0, 0, 1000), 12.5 - 1e-9);
    EXPECT_LT(next_speed_wpm(15.0, 5, 5), next_speed_wpm(15.0, 100, 100));
    EXPECT_EQ(next_speed_wpm(kMaxSpeedWpm, 100, 100), kMaxSpeedWpm);
    EXPECT_EQ(next_speed_wpm(kMinSpeedWpm, 0, 100), kMinSpeedWpm);
    EXPECT_EQ(next_speed_wpm(15.0, 0, 0), 15.0);
}

// A made-up copyist whose log odds fall with the logarithm of the speed, more or less steeply than
// assumed: after fifteen exercises of 100 characters about nine in ten are right on the mean.
TEST(NextSpeed, LeadsToNineInTen) {
    for (const double steepness : {5.0, 12.0, 18.0}) {
        for (const double nine_in_ten_wpm : {8.0, 14.0, 25.0}) {
            synth::Random random(1001);
            double speed_wpm = 12.0;
            int right = 0;
            int of = 0;
            for (int exercise = 0; exercise < 45; ++exercise) {
                const double odds = 9.0 * std::pow(speed_wpm / nine_in_ten_wpm, -steepness);
                int now = 0;
                for (int i = 0; i < 100; ++i) now += random.uniform() < odds / (1.0 + odds) ? 1 : 0;
                speed_wpm = next_speed_wpm(speed_wpm, now, 100);
                if (exercise < 15) continue;
                right += now;
                of += 100;
            }
            EXPECT_NEAR(static_cast<double>(right) / of, 0.9, 0.03)
                << steepness << " " << nine_in_ten_wpm;
        }
    }
}

// ITU-R M.1677-1 lengths: PARIS with its gap is 50 units, so 20 wpm are 20 a minute.
TEST(GroupsAMinute, OfTheStandardWord) {
    EXPECT_NEAR(groups_a_minute(names("PARIS PARIS PARIS"), 20.0), 20.0, 1e-9);
    // CODEX is 60 units with its gap.
    EXPECT_NEAR(groups_a_minute(names("CODEX"), 12.0), 10.0, 1e-9);
    EXPECT_EQ(groups_a_minute({}, 12.0), 0.0);
    EXPECT_GT(groups_a_minute(names("[SK] [KA]"), 12.0), 0.0);
}

}  // namespace
}  // namespace skedlark::fist
