#include "dsp/fist/practice_level.h"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "dsp/fist/copy_score.h"
#include "dsp/morse/timing.h"
#include "dsp/synth/keyer.h"
#include "dsp/synth/random.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

// Counted out in ITU-R M.1677-1: the 26 letters are 214 units long, so a group is 5 x 214/26 of letters,
// four gaps of 3 and one of 7.
TEST(PracticeLevel, AGroupIsAsLongAsTheStandardMakesIt) {
    EXPECT_NEAR(units_of_a_group(), 5.0 * 214.0 / 26.0 + 12.0 + 7.0, 1e-9);
    // PARIS is 50 units with its gap, so that 12 words a minute are 600 units a minute.
    EXPECT_NEAR(*morse::units_of_text("PARIS"), 50.0, 1e-12);
    EXPECT_NEAR(level_of_speed(12.0), 600.0 / units_of_a_group(), 1e-9);
    EXPECT_NEAR(speed_of_level(level_of_speed(17.3)), 17.3, 1e-9);
}

// Against the keyer, which has its own spacing: the level is what a listener counts.
TEST(PracticeLevel, KeyedAtThePaceItIsThatManyGroupsAMinute) {
    std::string text;
    for (int i = 0; i < 26; ++i) {  // every letter five times: of the mean length
        for (int k = 0; k < 5; ++k) text += static_cast<char>('A' + (i + 5 * k) % 26);
        text += ' ';
    }
    text.pop_back();
    for (const double level : {5.0, 9.0, 20.0}) {
        const auto pace = pace_at(level, 16.0);
        ASSERT_TRUE(pace.ok()) << pace.error().message;
        EXPECT_GE(pace->character_wpm, 16.0);
        synth::Keyer keyer({.speed_wpm = pace->character_wpm, .overall_wpm = pace->overall_wpm}, 1);
        synth::Keyed keyed;
        const auto end_s = keyer.send(text, 0.0, keyed);
        ASSERT_TRUE(end_s.ok());
        // The gap after the last group is not sent: 26 groups are short by one of it.
        double word_gap_s = 0.0;
        for (const auto& one : keyed.characters) {
            if (one.text == " ") word_gap_s = one.to_s - one.from_s;
        }
        EXPECT_NEAR(26.0 / ((*end_s + word_gap_s) / 60.0), level, 0.02 * level);
    }
}

TEST(PracticeLevel, OutOfRangeIsSaidWithTheRange) {
    for (const double level : {0.0, 2.0, 60.0, std::nan("")}) {
        const auto pace = pace_at(level, 12.0);
        ASSERT_FALSE(pace.ok());
        EXPECT_NE(pace.error().message.find("3.3 to 49.9"), std::string::npos)
            << pace.error().message;
    }
    EXPECT_NE(pace_at(10.0, 70.0).error().message.find("4 to 60"), std::string::npos);
    EXPECT_TRUE(pace_at(lowest_level(), 4.0).ok());
    EXPECT_TRUE(pace_at(highest_level(), 4.0).ok());
}

// A person whose share of right characters falls with the speed as a logistic curve of its logarithm:
// the ability is the speed of nine in ten. Steepness is not known to the rule.
double right_chance(double speed_wpm, double ability_wpm, double steepness) {
    const double log_odds = std::log(9.0) - steepness * std::log(speed_wpm / ability_wpm);
    return 1.0 / (1.0 + std::exp(-log_odds));
}

TEST(PracticeLevel, LeadsEveryLearnerToNineInTen) {
    constexpr int kLearners = 200;
    constexpr int kCharacters = 50;
    synth::Random random(support::test_seed(support::kFirstReportSeed));
    for (const double steepness : {4.0, 12.0, 25.0}) {
        double share = 0.0;
        int far_off = 0;
        for (int learner = 0; learner < kLearners; ++learner) {
            const double ability_wpm = random.uniform(6.0, 30.0);
            double level = kFirstLevel;
            std::vector<LevelAttempt> attempts;
            int right_late = 0, of_late = 0;
            for (int drill = 0; drill < 40; ++drill) {
                const double speed_wpm = speed_of_level(level);
                int right = 0;
                for (int i = 0; i < kCharacters; ++i) {
                    right +=
                        random.uniform() < right_chance(speed_wpm, ability_wpm, steepness) ? 1 : 0;
                }
                if (drill >= 20) right_late += right, of_late += kCharacters;
                attempts.push_back({level, right, kCharacters});
                level = next_level(attempts);
            }
            const double late = static_cast<double>(right_late) / of_late;
            share += late / kLearners;
            far_off += std::abs(late - kWantedRight) > 0.05 ? 1 : 0;
        }
        // 1000 characters a learner have a standard error of 0.01 by themselves.
        EXPECT_NEAR(share, kWantedRight, 0.02) << steepness;
        EXPECT_LE(far_off, kLearners / 50) << steepness;
    }
}

TEST(PracticeLevel, ReachesALevelFarOffInTenDrills) {
    // Twice and half the first level; exactly what is expected comes out each time.
    for (const double ability_wpm : {2.0 * speed_of_level(kFirstLevel), 5.0}) {
        std::vector<LevelAttempt> attempts;
        double level = kFirstLevel;
        for (int drill = 0; drill < 10; ++drill) {
            const double share = right_chance(speed_of_level(level), ability_wpm, 10.0);
            attempts.push_back({level, static_cast<int>(std::lround(50.0 * share)), 50});
            level = next_level(attempts);
        }
        EXPECT_NEAR(speed_of_level(level) / ability_wpm, 1.0, 0.1);
    }
}

TEST(PracticeLevel, NeverLeavesTheRangeNorStepsByMoreThanAFifth) {
    EXPECT_EQ(next_level({}), kFirstLevel);
    std::vector<LevelAttempt> attempts{{10.0, 0, 50}};
    EXPECT_NEAR(next_level(attempts), 10.0 / 1.2, 1e-6);
    attempts = {{10.0, 500, 500}};
    EXPECT_LE(next_level(attempts), 12.0 + 1e-6);
    EXPECT_GT(next_level(attempts), 11.5);
    attempts = {{highest_level(), 50, 50}};
    EXPECT_LE(next_level(attempts), highest_level());
    attempts = {{lowest_level(), 0, 50}};
    EXPECT_GE(next_level(attempts), lowest_level());
    attempts = {{10.0, 45, 50}};
    EXPECT_NEAR(next_level(attempts), 10.0, 1e-6);
    attempts = {{10.0, 0, 0}};  // nothing was sent: nothing is known
    EXPECT_NEAR(next_level(attempts), 10.0, 1e-6);
}

}  // namespace
}  // namespace skedlark::fist
